//! `faults-going-in-circles`

use std::collections::{BTreeMap, BTreeSet};

use crate::inspect::wording::listed;
use crate::inspect::{Rule, Subject};
use crate::model::{Answer, Check, Entry, Fault, Id};
use crate::reason::circles::{Circle, Edges, circles};
use crate::reason::faults::{FaultFacts, Left};
use crate::report::{Finding, Level, RuleInfo};
use crate::text::Span;

const NAME: &str = "faults-going-in-circles";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Error,
        matters: "The technician is sent round and round, and every round costs minutes.",
        page: include_str!("faults-going-in-circles.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let mut seen = BTreeSet::new();
    let mut take = |circle: &Circle<'_, Span>, why: &str| {
        let spans: Vec<Span> = circle.iter().map(|(_, span)| *span).collect();
        if seen.insert(spans) {
            found.extend(finding(circle, why));
        }
    };
    for circle in same_observation(subject) {
        take(&circle, "by the same observation each time, so a machine that is sent round once is sent round for ever");
    }
    for circle in without_way_out(subject) {
        take(&circle, "and none of them has a check that can end at a cause");
    }
}

fn finding(circle: &Circle<'_, Span>, why: &str) -> Option<Finding> {
    let (first, span) = circle.first()?;
    let wrong = match circle.len() {
        1 => format!("The fault `{first}` goes to itself."),
        _ => format!("The faults {} go to each other, {why}.", listed(circle.iter().map(|(name, _)| *name))),
    };
    let remedy = "Let one of these answers leave the causes that fit it, or ask for something that differs between the \
        faults.";
    let finding = Finding::new(NAME, *span, wrong, remedy);
    Some(
        circle
            .iter()
            .skip(1)
            .fold(finding, |finding, (name, span)| finding.with(*span, format!("where `{name}` goes on"))),
    )
}

/// Circles whose every answer is the same observation, and faults that go to themselves.
fn same_observation<'g>(subject: &Subject<'g>) -> Vec<Circle<'g, Span>> {
    let mut by_observation: BTreeMap<(String, String), Edges<'g, Span>> = BTreeMap::new();
    let mut own: Edges<'g, Span> = BTreeMap::new();
    for fault in &subject.guide.faults {
        for (check, answer) in fault.checks.iter().flat_map(|check| check.answers.iter().map(move |it| (check, it))) {
            let Some(to) = answer.go_to.as_ref() else { continue };
            let edges = match to.as_str() == fault.id() {
                true => &mut own,
                false => by_observation.entry(observation(check, answer)).or_default(),
            };
            edges.entry(fault.id()).or_default().push((to.as_str(), to.span));
        }
    }
    by_observation.values().chain([&own]).flat_map(circles).collect()
}

/// What is observed: bands of a reading, else the question and the answer in small letters.
fn observation(check: &Check, answer: &Answer) -> (String, String) {
    let asked = check.ask.value.trim().to_lowercase();
    let bands: Vec<&str> = answer.bands.iter().map(|band| band.as_str()).collect();
    match &check.reading {
        Some(reading) if !bands.is_empty() => (reading.as_str().to_owned(), bands.join(" ")),
        _ => (asked, answer.says.value.trim().to_lowercase()),
    }
}

/// Circles among faults from which no fault can be reached whose checks can end at a cause.
fn without_way_out<'g>(subject: &Subject<'g>) -> Vec<Circle<'g, Span>> {
    let mut into: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    let mut edges: Edges<'g, Span> = BTreeMap::new();
    for fault in &subject.guide.faults {
        for to in fault.checks.iter().flat_map(|check| &check.answers).filter_map(|answer| answer.go_to.as_ref()) {
            into.entry(to.as_str()).or_default().push(fault.id());
            edges.entry(fault.id()).or_default().push((to.as_str(), to.span));
        }
    }
    // A fault the guide does not have is reported elsewhere; until then it may be a way out.
    let known: BTreeSet<&str> = subject.guide.faults.iter().map(|fault| fault.id()).collect();
    let missing = into.keys().copied().filter(|id| !known.contains(id));
    let ending = subject.guide.faults.iter().filter(|fault| can_end(subject, fault)).map(|fault| fault.id());
    let mut open: Vec<&str> = ending.chain(missing).collect();
    let mut out: BTreeSet<&str> = open.iter().copied().collect();
    while let Some(id) = open.pop() {
        let from = into.get(id).into_iter().flatten();
        open.extend(from.copied().filter(|from| out.insert(from)));
    }
    edges.retain(|from, _| !out.contains(from));
    circles(&edges)
}

/// True where the checks that are always made can leave a cause, and some check does.
fn can_end(subject: &Subject<'_>, fault: &Fault) -> bool {
    let Some(facts) = subject.facts.faults.get(&Id::new(fault.id())) else { return true };
    let stays = |at: usize| facts.checks.get(at).is_some_and(|check| check.answers.iter().any(leaves_something));
    let passes_on = fault.checks.iter().enumerate().any(|(at, check)| check.first && !stays(at));
    !fault.causes.is_empty() && !passes_on && some_check_stays(facts)
}

fn some_check_stays(facts: &FaultFacts) -> bool {
    facts.checks.is_empty() || facts.checks.iter().any(|check| check.answers.iter().any(leaves_something))
}

fn leaves_something(answer: &Left) -> bool {
    matches!(answer, Left::Causes(causes) if !causes.is_empty())
}
