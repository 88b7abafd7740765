//! The causes of a fault: how likely each is, what is behind that, what shows it.

use num_rational::Ratio;

use super::{Page, shown_percent};
use crate::model::{Entry, Fault};
use crate::reason::plan::{Margin, Options, Reach, margins_within};
use crate::reason::records::opinion_jobs;
use crate::reason::walk::{self, WalkStep};
use crate::render::place::{Place, minutes};
use crate::render::views::fault as view;
use crate::render::views::pieces::Link;

/// Positions that may be searched to say how far the likelihoods of one fault may move.
const MOST_NODES: u64 = 20_000;

/// What the likelihoods of a fault are based on.
pub(in crate::render::pages) fn based_on(place: Place<'_>, fault: &Fault) -> String {
    let jobs = place.facts.records.of_fault(fault.id()).map_or(0, |known| known.jobs);
    let opinion = opinion_jobs(place.guide);
    match jobs {
        0 => place.word("writers_shares"),
        jobs => place.said("opinion_and_jobs", &[("opinion", opinion.to_string()), ("jobs", jobs.to_string())]),
    }
}

impl Page<'_, '_> {
    /// The causes, the likeliest first.
    pub(super) fn causes(&self) -> Vec<view::Cause> {
        let mut order: Vec<usize> = (0..self.fault.causes.len()).collect();
        order.sort_by_key(|cause| std::cmp::Reverse(self.shares.get(*cause).copied().unwrap_or(0)));
        let margins = self.margins();
        let with_margin =
            |cause: usize| view::Cause { margin: margins.get(cause).cloned().flatten(), ..self.cause(cause) };
        order.into_iter().map(with_margin).collect()
    }

    /// Between which likelihoods the first check stays the first, cause by cause; all others keep their proportion.
    fn margins(&self) -> Vec<Option<String>> {
        let Some(planned) = self.plan else { return Vec::new() };
        let margins = margins_within(&planned.asked.problem, &planned.plan, &Options::default(), MOST_NODES);
        margins.unwrap_or_default().iter().map(|margin| self.margin(margin)).collect()
    }

    fn margin(&self, margin: &Margin) -> Option<String> {
        let at = |reach: Reach| match reach {
            Reach::Changes(at) => Some((at * Ratio::from_integer(100)).round().to_integer().to_string()),
            Reach::Stays | Reach::Unknown(_) => None,
        };
        let (low, high) = (at(margin.down), at(margin.up));
        let word = match (&low, &high) {
            (None, None) => return None,
            (Some(_), None) => "first_down_to",
            (None, Some(_)) => "first_up_to",
            (Some(_), Some(_)) => "first_between",
        };
        let values = [("low", low.unwrap_or_default()), ("high", high.unwrap_or_default())];
        Some(self.place.said(word, &values))
    }

    pub(super) fn cause(&self, index: usize) -> view::Cause {
        let Some(cause) = self.fault.causes.get(index) else { return view::Cause::default() };
        let repair = cause.repair.as_ref();
        let seconds =
            repair.and_then(|link| self.place.guide.procedures.get(&link.value)).map_or(0, |it| it.seconds.value);
        let share = self.shares.get(index).copied().unwrap_or(0);
        view::Cause {
            anchor: format!("cause-{}", cause.id.value),
            brings: cause.brings.iter().map(|link| self.brought(link.as_str())).collect(),
            says: cause.says.value.clone(),
            share: shown_percent(share),
            percent: share,
            behind: self.behind(index),
            margin: None,
            shown_by: self.shown_by(index),
            inferred: cause.by_elimination.as_ref().map(|reason| reason.value.clone()),
            repair: repair.map(|link| self.place.repair(link)).unwrap_or_default(),
            minutes: minutes(seconds),
        }
    }

    /// Where a likelihood comes from: the writer alone, or so many jobs, with the 90 % interval.
    fn behind(&self, cause: usize) -> String {
        let likelihoods = self.place.facts.records.of_fault(self.fault.id()).filter(|known| known.jobs > 0);
        let Some(likelihoods) = likelihoods else { return self.place.word("writer_only") };
        let Some(known) = likelihoods.causes.get(cause) else { return self.place.word("writer_only") };
        let whole = |share: f64| format!("{:.0}", share * 100.0);
        let values = [
            ("count", known.count.to_string()),
            ("jobs", likelihoods.jobs.to_string()),
            ("low", whole(known.interval.0)),
            ("high", whole(known.interval.1)),
        ];
        self.place.said("behind_jobs", &values)
    }

    /// The steps with an answer that leaves only causes with this one's repair.
    fn shown_by(&self, cause: usize) -> Vec<Link> {
        let shows = |step: &WalkStep| {
            let check = self.fault.checks.get(step.check);
            check.is_some_and(|check| {
                (0..check.answers.len()).any(|answer| {
                    let leaves = walk::left_by(self.fault, check, answer);
                    leaves.contains(&cause) && walk::shared_repair(self.fault, &leaves).is_some()
                })
            })
        };
        let possible = |step: &WalkStep| step.possible.iter().any(|(known, _)| *known == cause);
        let steps = self.walk.steps.iter().enumerate().filter(|(_, step)| possible(step) && shows(step));
        let link = |(index, _)| Link {
            href: format!("#step-{}", index + 1),
            text: format!("{} {}", self.place.word("check"), index + 1),
        };
        steps.map(link).collect()
    }
}
