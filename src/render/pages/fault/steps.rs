//! The checks of a fault as the walk meets them, each with what must be done first.

use std::collections::BTreeSet;

use super::{Page, exact, shown_percent};
use crate::model::{Access, Answer, Band, Caution, Check, Entry, Kind, Verdict};
use crate::reason::fault_plans::percent;
use crate::reason::walk::{self, WalkStep};
use crate::render::pages::number;
use crate::render::views::fault as view;

impl Page<'_, '_> {
    pub(super) fn check(&self, index: usize, step: &WalkStep) -> view::Check {
        let Some(check) = self.fault.checks.get(step.check) else { return view::Check::default() };
        let place = self.place;
        let accesses = self.accesses(check);
        view::Check {
            id: check.id.value.clone(),
            anchor: format!("step-{}", index + 1),
            number: number(index),
            ask: check.ask.value.clone(),
            how_html: place.blocks_opt(check.how.as_ref()),
            minutes: exact(u64::from(check.seconds.value)),
            in_all: exact(step.seconds),
            state: self.state_of(check, &accesses, step),
            make_safe: self.make_safe(check, &accesses, step),
            access: accesses.iter().map(|access| self.access(access, step)).collect(),
            tools: self.tools_of(check),
            limits: self.limits(check),
            cautions: place.cautions(self.cautions_of(check)),
            pinned: check.first.then(|| place.word("looked_at_first")),
            possible: self.possible(&step.possible),
            answers: self.answers(check, step),
            undo: self.undo_at_check(index, check, step),
        }
    }

    /// The checks that no step of the walk makes, with all their preparation still to be done.
    pub(super) fn others(&self) -> Vec<view::Check> {
        let unused = |(at, _): &(usize, &Check)| !self.walk.steps.iter().any(|step| step.check == *at);
        self.fault.checks.iter().enumerate().filter(unused).map(|(at, check)| self.other(at, check)).collect()
    }

    fn other(&self, at: usize, check: &Check) -> view::Check {
        let Some(asked) = self.plan.map(|plan| &plan.asked) else { return view::Check::default() };
        let accesses = self.accesses(check);
        let known = |access: &&Access| self.fault.accesses.iter().position(|it| it.id.value == access.id.value);
        let opens: Vec<usize> = accesses.iter().filter_map(known).collect();
        let needed = |link: &&crate::model::Link<crate::model::Procedure>| {
            asked.tasks.iter().position(|task| task == link.as_str())
        };
        let safe = accesses.iter().flat_map(|access| &access.make_safe).chain(&check.make_safe);
        let safe: BTreeSet<usize> = safe.collect::<Vec<_>>().iter().filter_map(needed).collect();
        let opening =
            opens.iter().filter_map(|open| self.fault.accesses.get(*open)).map(|it| u64::from(it.seconds.value));
        let securing = safe.iter().filter_map(|task| asked.problem.tasks.get(*task)).map(|task| task.seconds);
        let step = WalkStep {
            check: at,
            possible: Vec::new(),
            seconds: opening.chain(securing).sum::<u64>() + u64::from(check.seconds.value),
            make_safe: safe.into_iter().collect(),
            change_to: None,
            opens,
            weight: 0,
            answer_weights: Vec::new(),
            answers: Vec::new(),
        };
        let answers = check.answers.iter().enumerate().map(|(answer, says)| self.leaving(check, answer, says));
        let anchor = format!("check-{}", check.id.value);
        view::Check { anchor, answers: answers.collect(), ..self.check(0, &step) }
    }

    /// An answer outside the plan: what it leaves, in words.
    fn leaving(&self, check: &Check, answer: usize, says: &Answer) -> view::Answer {
        let causes = walk::left_by(self.fault, check, answer).into_iter();
        let leaves = causes.filter_map(|cause| self.fault.causes.get(cause)).map(|cause| cause.says.value.clone());
        let other = says.go_to.as_ref().map(|fault| self.place.link(Kind::Fault, fault.as_str())).unwrap_or_default();
        view::Answer {
            says: says.says.value.clone(),
            href: other.href,
            to: other.text,
            leaves: leaves.collect(),
            bands: bands(says),
            ..view::Answer::default()
        }
    }

    /// Lists of cautions of a check and of what has to be opened for it.
    pub(super) fn cautions_of<'c>(&'c self, check: &'c Check) -> Vec<&'c [Caution]> {
        let accesses = self.accesses(check);
        let opened =
            accesses.iter().filter_map(|access| self.fault.accesses.iter().find(|it| it.id.value == access.id.value));
        opened.map(|access| access.cautions.as_slice()).chain([check.cautions.as_slice()]).collect()
    }

    /// The state the check needs, with what is left of the step's time for getting there.
    fn state_of(&self, check: &Check, accesses: &[&Access], step: &WalkStep) -> Option<view::State> {
        let link = check.state.as_ref().or(accesses.iter().find_map(|access| access.state.as_ref()));
        let opens = step
            .opens
            .iter()
            .filter_map(|place| self.fault.accesses.get(*place))
            .map(|access| u64::from(access.seconds.value));
        let safe =
            step.make_safe.iter().filter_map(|task| self.plan?.asked.problem.tasks.get(*task)).map(|task| task.seconds);
        let known: u64 = opens.chain(safe).sum::<u64>() + u64::from(check.seconds.value);
        let mut state = self.state(link, step.change_to.map(|_| step.seconds.saturating_sub(known)))?;
        // What the state is was said where it began; a check outside the plan may begin it.
        let told = self.fault.verify.as_ref().is_some_and(|verify| verify.state.is_some());
        if told && step.change_to.is_none() && !step.answers.is_empty() {
            state.says.clear();
        }
        Some(state)
    }

    fn make_safe(&self, check: &Check, accesses: &[&Access], step: &WalkStep) -> Vec<view::MakeSafe> {
        let links = accesses.iter().flat_map(|access| &access.make_safe).chain(&check.make_safe);
        let due: Vec<&str> =
            step.make_safe.iter().filter_map(|task| self.plan?.asked.tasks.get(*task)).map(String::as_str).collect();
        let mut seen = BTreeSet::new();
        let mut view = Vec::new();
        for link in links.filter(|link| seen.insert(link.as_str())) {
            let seconds = self.place.guide.procedures.get(&link.value).map_or(0, |it| u64::from(it.seconds.value));
            view.push(view::MakeSafe {
                id: link.as_str().to_owned(),
                link: self.place.procedure(link),
                minutes: exact(seconds),
                done: !due.contains(&link.as_str()),
            });
        }
        view
    }

    /// The accesses of a check, those they need first, each once.
    fn accesses(&self, check: &Check) -> Vec<&Access> {
        let mut wanted: Vec<&str> = check.access.iter().map(|link| link.as_str()).collect();
        let mut found: Vec<&Access> = Vec::new();
        while let Some(id) = wanted.pop() {
            let access = self.fault.accesses.iter().find(|access| access.id.value == id);
            let Some(access) = access.filter(|access| !found.iter().any(|known| known.id.value == access.id.value))
            else {
                continue;
            };
            found.push(access);
            wanted.extend(access.needs.iter().map(|link| link.as_str()));
        }
        found.reverse();
        found
    }

    fn access(&self, access: &Access, step: &WalkStep) -> view::Access {
        let due = step.opens.iter().filter_map(|place| self.fault.accesses.get(*place));
        let paid = !due.into_iter().any(|open| open.id.value == access.id.value);
        let minutes = exact(u64::from(access.seconds.value));
        view::Access { id: access.id.value.clone(), action: access.action.value.clone(), minutes, paid }
    }

    pub(super) fn tools_of(&self, check: &Check) -> Vec<String> {
        let accesses = self.accesses(check);
        let tools = accesses.iter().flat_map(|access| &access.tools).chain(&check.tools);
        let tools: BTreeSet<String> = tools.map(|tool| tool.value.clone()).collect();
        tools.into_iter().collect()
    }

    /// Every limit from which the check's reading asks for action, each variant's own.
    fn limits(&self, check: &Check) -> Vec<view::Limit> {
        let reading = check.reading.as_ref().and_then(|link| self.place.guide.readings.get(&link.value));
        let Some(reading) = reading else { return Vec::new() };
        let acts = reading.bands.iter().filter(|band| band.verdict.value == Verdict::Act);
        let limit = |band: &Band| {
            let edge = band.from.as_ref().or(band.to.as_ref())?;
            let says = self.place.word(if band.from.is_some() { "act_from" } else { "act_below" });
            let variants = band.variants.as_deref().map(|named| format!("{}: ", self.place.variants(named)));
            Some(view::Limit {
                id: reading.id().to_owned(),
                reading: Some(self.place.link(Kind::Reading, reading.id())),
                says: format!("{}{says}", variants.unwrap_or_default()),
                shown: self.place.shown(edge),
                source: self.place.source(band.source.as_ref()),
            })
        };
        let mut limits: Vec<view::Limit> = acts.filter_map(limit).collect();
        // Where neighbours have one source, it is said once, behind the last of them.
        let text = |limit: &view::Limit| limit.source.as_ref().map(|source| source.text.clone());
        let next: Vec<Option<String>> = limits.iter().skip(1).map(text).collect();
        for (limit, next) in limits.iter_mut().zip(next) {
            if text(limit) == next {
                limit.source = None;
            }
        }
        limits
    }

    /// The causes left; none where all are, as the page lists them with their likelihoods below.
    fn possible(&self, causes: &[(usize, u128)]) -> Vec<view::Possible> {
        if causes.len() == self.fault.causes.len() {
            return Vec::new();
        }
        let all: u128 = causes.iter().map(|(_, weight)| weight).sum();
        let mut known: Vec<(u128, &str)> = causes
            .iter()
            .filter_map(|(cause, weight)| Some((*weight, self.fault.causes.get(*cause)?.says.value.as_str())))
            .collect();
        known.sort_by_key(|(weight, _)| std::cmp::Reverse(*weight));
        let shown = |(weight, says): (u128, &str)| view::Possible {
            says: says.to_owned(),
            share: shown_percent(percent(weight, all)),
        };
        known.into_iter().map(shown).collect()
    }

    fn answers(&self, check: &Check, step: &WalkStep) -> Vec<view::Answer> {
        let answers = check.answers.iter().zip(&step.answers);
        let other = |answer: &Answer| answer.go_to.as_ref().map(|fault| self.place.link(Kind::Fault, fault.as_str()));
        let lead = |(answer, to): (&Answer, &walk::To)| view::Answer {
            bands: bands(answer),
            ..self.lead(&answer.says.value, *to, other(answer))
        };
        answers.map(lead).collect()
    }
}

fn bands(answer: &Answer) -> String {
    answer.bands.iter().map(|band| band.as_str()).collect::<Vec<_>>().join(" ")
}
