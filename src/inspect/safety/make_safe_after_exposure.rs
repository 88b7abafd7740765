//! `make-safe-after-exposure`

use crate::inspect::{Rule, Subject};
use crate::model::{Link, Procedure};
use crate::reason::hazards::Safety;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "make-safe-after-exposure";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "safety",
        level: Level::Error,
        matters: "The pressure is released after the line was opened.",
        page: include_str!("make-safe-after-exposure.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for exposure in &subject.facts.exposures {
        let Safety::After(at) = exposure.safety else { continue };
        let wrong = format!(
            "What takes `{}` away is done here, but {} before that.",
            exposure.hazard,
            super::told_small(subject, exposure)
        );
        let remedy = "Name it under `make_safe`, which comes before everything else, or run it in an earlier step.";
        let finding = Finding::new(NAME, at, wrong, remedy).with(exposure.at, "where the hazard is met");
        found.push(super::pointing(subject, finding, exposure));
    }
    for list in lists(subject) {
        found.extend(list.iter().enumerate().filter_map(|(at, link)| too_late(subject, list, at, link)));
    }
}

/// Every list of procedures that make safe.
fn lists<'g>(subject: &Subject<'g>) -> Vec<&'g [Link<Procedure>]> {
    let faults = || subject.guide.faults.iter();
    let accesses = faults().flat_map(|fault| &fault.accesses).map(|access| access.make_safe.as_slice());
    let checks = faults().flat_map(|fault| &fault.checks).map(|check| check.make_safe.as_slice());
    let procedures = subject.guide.procedures.iter().map(|procedure| procedure.make_safe.as_slice());
    accesses.chain(checks).chain(procedures).collect()
}

/// A procedure that an earlier one of the list needs done before.
fn too_late(subject: &Subject<'_>, list: &[Link<Procedure>], at: usize, link: &Link<Procedure>) -> Option<Finding> {
    let needing = list.get(..at)?.iter().find(|earlier| {
        let earlier = subject.guide.procedures.get(earlier);
        earlier.is_some_and(|earlier| earlier.make_safe.iter().any(|needed| needed.value == link.value))
    })?;
    let wrong = format!("`{}` comes after `{}`, which needs it done before.", link.value, needing.value);
    let remedy = format!("Put `{}` before `{}`: they are done in the order written.", link.value, needing.value);
    Some(Finding::new(NAME, link.span, wrong, remedy).with(needing.span, "what needs it"))
}
