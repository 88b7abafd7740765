//! `brought-cause-not-checked-after-repair`

use std::collections::BTreeSet;

use crate::inspect::{Rule, Subject};
use crate::model::{Check, Entry, Fault, Guide, Id, Procedure};
use crate::reason::calls::{Role, calls};
use crate::reason::faults::{Left, Showing, brought};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "brought-cause-not-checked-after-repair";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Error,
        matters: "The machine leaves mended and comes back with what the first trouble left behind.",
        page: include_str!("brought-cause-not-checked-after-repair.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for fault in &subject.guide.faults {
        for (at, cause) in fault.causes.iter().enumerate() {
            let Some(repair) = cause.repair.as_ref().filter(|repair| subject.guide.procedures.get(repair).is_some())
            else {
                continue;
            };
            for link in &cause.brings {
                let Some((home, number)) = brought(subject.guide, fault, link) else { continue };
                let Some(later) = home.causes.get(number) else { continue };
                if home.id() == fault.id() && number == at {
                    let wrong = format!("The cause `{}` brings itself.", cause.id.value);
                    found.push(Finding::new(NAME, link.span, wrong, "Take it out of `brings`."));
                } else if !is_looked_after(subject, repair, home, number) {
                    let wrong = format!(
                        "`{}` brings `{}`, but nothing in or after its repair `{}` looks for that.",
                        cause.id.value, link.value, repair.value
                    );
                    let remedy = remedy(subject, repair.as_str(), home, number);
                    found.push(Finding::new(NAME, link.span, wrong, remedy).with(later.id.span, "the cause brought"));
                }
            }
        }
    }
}

fn remedy(subject: &Subject<'_>, repair: &str, home: &Fault, number: usize) -> String {
    let showing = subject.facts.faults.get(&Id::new(home.id())).and_then(|facts| facts.causes.get(number));
    let check = match showing.map(|cause| cause.showing) {
        Some(Showing::Shown { check, .. }) => home.checks.get(check).map(|check| check.id.value.as_str()),
        _ => None,
    };
    let check = check.map(|check| format!("check = \"{check}\"`")).unwrap_or_else(|| "check = \"…\"`".to_owned());
    format!("Add a table `[[check_again]]` with `fault = \"{}\"` and `{check} to `{repair}`.", home.id())
}

/// True where the repair, or a procedure its steps run, mends the brought cause as well, or checks for it afterwards.
fn is_looked_after(subject: &Subject<'_>, repair: &Id<Procedure>, home: &Fault, number: usize) -> bool {
    let mends = home.causes.get(number).and_then(|cause| cause.repair.as_ref()).map(|link| &link.value);
    let mut seen = BTreeSet::from([repair.clone()]);
    let mut open = vec![repair.clone()];
    while let Some(here) = open.pop() {
        let Some(procedure) = subject.guide.procedures.get(&here) else { return true };
        if Some(&here) == mends || checks_for(subject, procedure, home, number) {
            return true;
        }
        let runs = calls(procedure).filter(|(role, _)| matches!(role, Role::Step(_) | Role::CheckAgain));
        open.extend(runs.map(|(_, link)| link.value.clone()).filter(|id| seen.insert(id.clone())));
    }
    false
}

fn checks_for(subject: &Subject<'_>, procedure: &Procedure, home: &Fault, number: usize) -> bool {
    procedure.check_again.iter().any(|again| {
        let by_check = again.check.as_ref().is_some_and(|(fault, check)| {
            fault.as_str() == home.id()
                && check.as_ref().is_none_or(|check| {
                    let named = home.checks.iter().position(|known| known.id.value == check.as_str());
                    named.is_none_or(|at| finds(subject, home, at, number))
                })
        });
        let by_reading = again.reading.as_ref().is_some_and(|reading| {
            home.checks
                .iter()
                .enumerate()
                .any(|(at, check)| takes(check, reading.as_str()) && finds(subject, home, at, number))
        });
        by_check || by_reading || again_elsewhere(subject.guide, procedure)
    })
}

fn takes(check: &Check, reading: &str) -> bool {
    check.reading.as_ref().is_some_and(|taken| taken.as_str() == reading)
}

/// A check again that names what is not there is reported elsewhere.
fn again_elsewhere(guide: &Guide, procedure: &Procedure) -> bool {
    procedure
        .check_again
        .iter()
        .filter_map(|again| again.check.as_ref())
        .any(|(fault, _)| guide.faults.get(fault).is_none())
}

/// True where the check has an answer that leaves only causes with the repair of this one; for a cause found by
/// elimination, an answer that excludes it.
fn finds(subject: &Subject<'_>, home: &Fault, check: usize, cause: usize) -> bool {
    let Some(facts) = subject.facts.faults.get(&Id::new(home.id())) else { return true };
    let Some(check) = facts.checks.get(check) else { return true };
    let repair = |at: usize| home.causes.get(at).and_then(|cause| cause.repair.as_ref()).map(|link| &link.value);
    let shows = |answer: &Left| match answer {
        Left::Causes(left) => left.contains(&cause) && left.iter().all(|other| repair(*other) == repair(cause)),
        Left::Elsewhere => false,
    };
    match facts.causes.get(cause).map(|cause| cause.showing) {
        Some(Showing::Shown { .. }) => check.answers.iter().any(shows),
        _ => !check.answers.iter().all(|answer| answer.leaves(cause)),
    }
}
