//! `band-without-answer`

use crate::inspect::{Rule, Subject};
use std::collections::BTreeSet;

use crate::model::{Check, Fault};
use crate::reason::{holds, machines_of};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "band-without-answer";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "readings",
        level: Level::Warning,
        matters: "A value in this band fits no answer of the check, and the walk through the fault ends there.",
        page: include_str!("band-without-answer.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for fault in &subject.guide.faults {
        for check in &fault.checks {
            found.extend(unanswered(subject, fault, check));
        }
    }
}

fn unanswered(subject: &Subject<'_>, fault: &Fault, check: &Check) -> Option<Finding> {
    let link = check.reading.as_ref()?;
    let reading = subject.guide.readings.get(&link.value)?;
    let answered: BTreeSet<&str> =
        check.answers.iter().flat_map(|answer| &answer.bands).map(|band| band.as_str()).collect();
    if answered.is_empty() {
        return None;
    }
    let machines = machines_of(subject.guide, &fault.head);
    let open: Vec<_> = reading
        .bands
        .iter()
        .filter(|band| !answered.contains(band.id.value.as_str()))
        .filter(|band| machines.iter().any(|machine| holds(band.variants.as_deref(), machine)))
        .collect();
    let first = open.first()?;
    let named: Vec<String> = open.iter().map(|band| format!("`{}`", band.id.value)).collect();
    let wrong = format!(
        "Answers of the check `{}` stand for bands of `{}`, but none for {}.",
        check.id.value,
        link.value,
        named.join(", ")
    );
    let remedy = "Add an answer for each of them, with its `band` and the causes it leaves; or name it in the `bands` of one that is there.";
    Some(Finding::new(NAME, link.span, wrong, remedy).with(first.id.span, "a band without an answer"))
}
