//! Fault pages: the walk as linked steps, then causes, repairs, minutes and tools.

mod causes;
mod endings;
mod steps;
mod undo;
mod worth;

pub(super) use causes::based_on;
pub(super) use worth::one_decimal;

use std::collections::BTreeSet;

use num_rational::Ratio;

use super::{Draft, entry_draft, kind_word, number};
use crate::model::{Entry, Fault, Kind, Occurrence};
use crate::reason::fault_plans::percent;
use crate::reason::walk::{self, Opened, To, Walk};
use crate::reason::{FaultPlan, problem_of};
use crate::render::place::Place;
use crate::render::theme::WORK;
use crate::render::views::fault as view;
use crate::render::views::pieces::Link;
use crate::render::walk_data;

pub(super) fn draft<'g>(place: Place<'g>, fault: &'g Fault) -> Draft {
    let plan = place.facts.plans.get(fault.id());
    let walk = plan.map(|plan| walk::of(fault, plan)).unwrap_or_default();
    let page = Page { place, fault, plan, walk: &walk, opened: walk.opened(), shares: shares(place, fault) };
    let mut draft = entry_draft(place, fault, "fault", kind_word(place, Kind::Fault), &page.view());
    draft.sheet.scripts = vec!["edition.js".to_owned(), walk_data::path(fault.id()), WORK.to_owned()];
    draft
}

/// Minutes to find the cause, expected, for lists of faults.
pub(super) fn expected_minutes(place: Place<'_>, fault: &Fault) -> u32 {
    let plan = place.facts.plans.get(fault.id());
    plan.map_or(0, |plan| whole_minutes(plan.plan.expected))
}

fn whole_minutes(seconds: Ratio<u128>) -> u32 {
    u32::try_from((seconds / Ratio::from_integer(60)).round().to_integer()).unwrap_or(u32::MAX)
}

/// Minutes as exact as seconds allow: "3", "2.5", or "1:20" where no short decimal says it.
fn exact(seconds: u64) -> String {
    match (seconds / 60, seconds % 60) {
        (whole, 0) => whole.to_string(),
        (whole, rest) if rest % 6 == 0 => format!("{whole}.{}", rest / 6),
        (whole, rest) => format!("{whole}:{rest:02}"),
    }
}

/// Every tool that finding the cause may need.
pub(super) fn tools(place: Place<'_>, fault: &Fault) -> Vec<String> {
    let page =
        Page { place, fault, plan: None, walk: &Walk::default(), opened: Default::default(), shares: Vec::new() };
    let tools: BTreeSet<String> = fault.checks.iter().flat_map(|check| page.tools_of(check)).collect();
    tools.into_iter().collect()
}

struct Page<'g, 'w> {
    place: Place<'g>,
    fault: &'g Fault,
    plan: Option<&'g FaultPlan>,
    walk: &'w Walk,
    /// What stands open after each step, and at each ending.
    opened: (Vec<Opened>, Vec<Opened>),
    /// Likelihood of each cause, in whole percent.
    shares: Vec<u32>,
}

pub(super) fn shares(place: Place<'_>, fault: &Fault) -> Vec<u32> {
    let weights = problem_of::weights(place.guide, fault, place.facts.records.counts_of(fault.id()));
    let all: u128 = weights.iter().sum();
    weights.iter().map(|weight| percent(*weight, all)).collect()
}

impl Page<'_, '_> {
    fn view(&self) -> view::Fault {
        let place = self.place;
        let causes = self.causes();
        view::Fault {
            also_said: self.fault.also_said.iter().map(|said| said.value.clone()).collect(),
            codes: self.codes(),
            constancy: Some(place.word(match self.fault.occurs {
                Occurrence::Constant => "constant",
                Occurrence::Intermittent => "intermittent",
            })),
            cautions: self.all_cautions(),
            verify: self.verify(),
            checks: self.walk.steps.iter().enumerate().map(|(index, step)| self.check(index, step)).collect(),
            others: self.others(),
            endings: self.walk.endings.iter().enumerate().map(|(index, end)| self.ending(index, end)).collect(),
            undo: self.undo_all(),
            has_margins: causes.iter().any(|cause| cause.margin.is_some()),
            causes,
            minutes: self.minutes(),
            tools: self.tools(),
            parts: self.parts(),
            plan: self.chart(),
            quote: Link { href: place.href(&super::quote::path(self.fault.id())), text: place.word("quote_sheet") },
            based_on: based_on(place, self.fault),
            bulletins: place.bulletins(&self.fault.head),
            related: place.mentioned_by(Kind::Fault, self.fault.id(), &[Kind::Fault, Kind::Note, Kind::Sequence]),
            sources: Vec::new(),
        }
    }

    /// Every hazard of the page once: of the guide, the fault, its checks and its repairs.
    pub(super) fn all_cautions(&self) -> Vec<crate::render::views::pieces::Caution> {
        let verify = self.fault.verify.iter().map(|verify| verify.cautions.as_slice());
        let checks = self.fault.checks.iter().flat_map(|check| self.cautions_of(check));
        let own = [self.fault.cautions.as_slice(), self.place.guide.cautions.as_slice()];
        self.place.cautions(own.into_iter().chain(verify).chain(checks))
    }

    fn codes(&self) -> Vec<view::Code> {
        let code = |code: &crate::text::Located<String>| view::Code { code: code.value.clone(), says: String::new() };
        self.fault.codes.iter().map(code).collect()
    }

    fn verify(&self) -> view::Verify {
        let verify = self.fault.verify.as_ref();
        let mut answers = vec![self.lead(&self.place.word("it_is_so"), self.walk.start.unwrap_or(To::Nowhere), None)];
        answers.push(view::Answer {
            says: self.place.word("it_is_not_so"),
            leads: view::Leads::Escalation,
            href: "#escalation".to_owned(),
            to: verify
                .and_then(|verify| verify.otherwise.as_ref())
                .map_or(self.place.word("not_confirmed"), |otherwise| self.place.plain(otherwise)),
            ..view::Answer::default()
        });
        view::Verify {
            anchor: "verify".to_owned(),
            how_html: self.place.blocks_opt(verify.map(|verify| &verify.says)),
            state: self.state(verify.and_then(|verify| verify.state.as_ref()), None),
            cautions: self.place.cautions(verify.map(|verify| verify.cautions.as_slice())),
            minutes: exact(u64::from(verify.and_then(|verify| verify.seconds.as_ref()).map_or(0, |it| it.value))),
            answers,
        }
    }

    fn state(
        &self,
        link: Option<&crate::model::Link<crate::model::State>>,
        seconds: Option<u64>,
    ) -> Option<view::State> {
        let state = self.place.guide.states.get(&link?.value)?;
        Some(view::State {
            id: state.id().to_owned(),
            name: state.name.value.clone(),
            says: state.says.as_ref().map(|says| self.place.plain(says)).unwrap_or_default(),
            minutes: seconds.filter(|seconds| *seconds > 0).map(exact),
        })
    }

    fn lead(&self, says: &str, to: To, other: Option<Link>) -> view::Answer {
        let (leads, href, to, number) = match to {
            To::Step(step) => {
                let check = self.walk.steps.get(step).and_then(|step| self.fault.checks.get(step.check));
                let ask = check.map(|check| check.ask.value.clone()).unwrap_or_default();
                (view::Leads::Check, format!("#step-{}", step + 1), ask, Some(number(step)))
            }
            To::Ending(end) => (view::Leads::Ending, format!("#found-{}", end + 1), self.ending_says(end), None),
            To::OtherFault => {
                let link = other.unwrap_or_default();
                (view::Leads::Fault, link.href, link.text, None)
            }
            To::Nowhere => (view::Leads::Escalation, "#escalation".to_owned(), self.place.word("none_left"), None),
        };
        view::Answer { says: says.to_owned(), leads, href, to, number, ..view::Answer::default() }
    }

    fn tools(&self) -> Vec<String> {
        tools(self.place, self.fault)
    }

    fn parts(&self) -> Vec<Link> {
        let accesses = self.fault.accesses.iter().map(|access| &access.touches);
        let touched = self.fault.checks.iter().map(|check| &check.touches).chain(accesses);
        without_doubles(touched.flat_map(|touches| touches.all()).map(|link| self.place.part(link)))
    }
}

pub(super) fn shown_percent(share: u32) -> String {
    format!("{share}\u{a0}%")
}

/// Links without doubles, in the order met.
fn without_doubles(links: impl Iterator<Item = Link>) -> Vec<Link> {
    let mut seen = BTreeSet::new();
    links.filter(|link| seen.insert(link.href.clone())).collect()
}
