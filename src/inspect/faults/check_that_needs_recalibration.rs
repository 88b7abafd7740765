//! `check-that-needs-recalibration`

use crate::inspect::{Rule, Subject};
use crate::model::{Fault, Guide, Link, Need, Part, Procedure, Touches};
use crate::reason::recalibration::part_need;
use crate::reason::{is_for, machines};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "check-that-needs-recalibration";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Error,
        matters: "The machine would leave the bay out of true although nothing was repaired.",
        page: include_str!("check-that-needs-recalibration.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for fault in &subject.guide.faults {
        for (what, touches, make_safe) in places(fault) {
            for link in touches.disturbs.iter().filter(|link| need(subject.guide, fault, link) != Need::None) {
                let wrong =
                    format!("{what} disturbs `{}`, after which the control unit has to be recalibrated.", link.value);
                found.push(Finding::new(NAME, link.span, wrong, REMEDY));
            }
            found.extend(make_safe.iter().filter_map(|link| prepared(subject, &what, link)));
        }
    }
    for change in &subject.guide.state_changes {
        let what = format!("Going from `{}` to `{}`", change.from.value, change.to.value);
        found.extend(change.procedure.iter().filter_map(|link| prepared(subject, &what, link)));
    }
}

const REMEDY: &str = "Find a way to look or measure that leaves the part alone.";

/// What is done to find a cause: its name, what it touches, and what is done before it.
fn places(fault: &Fault) -> Vec<(String, &Touches, &[Link<Procedure>])> {
    let verify = fault.verify.iter().map(|verify| ("Verifying the complaint".to_owned(), &verify.touches, &[][..]));
    let accesses = fault
        .accesses
        .iter()
        .map(|access| (format!("The access `{}`", access.id.value), &access.touches, access.make_safe.as_slice()));
    let checks = fault
        .checks
        .iter()
        .map(|check| (format!("The check `{}`", check.id.value), &check.touches, check.make_safe.as_slice()));
    verify.chain(accesses).chain(checks).collect()
}

fn need(guide: &Guide, fault: &Fault, part: &Link<Part>) -> Need {
    let Some(part) = guide.parts.get(part) else { return Need::None };
    let needs = machines(guide).into_iter().filter(|machine| is_for(&fault.head, machine));
    needs.filter_map(|machine| part_need(part, &machine)).map(|need| need.need.value).max().unwrap_or(Need::None)
}

fn prepared(subject: &Subject<'_>, what: &str, link: &Link<Procedure>) -> Option<Finding> {
    if subject.facts.recalibration.greatest(link.as_str()) == Need::None {
        return None;
    }
    let wrong = format!("{what} sends to `{}`, after which the control unit has to be recalibrated.", link.value);
    Some(Finding::new(NAME, link.span, wrong, "Name a procedure that leaves such parts alone."))
}
