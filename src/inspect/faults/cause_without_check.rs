//! `cause-without-check`

use crate::inspect::wording::listed;
use crate::inspect::{Rule, Subject};
use crate::model::{Entry, Fault};
use crate::reason::faults::{FaultFacts, Showing};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "cause-without-check";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Error,
        matters: "The technician could never see this cause, only guess at it or change parts until it is gone.",
        page: include_str!("cause-without-check.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for (fault, facts) in super::sure_faults(subject) {
        for (cause, known) in fault.causes.iter().zip(&facts.causes) {
            if known.showing != Showing::Never || cause.repair.is_none() {
                continue;
            }
            // A guess at a dear repair has a rule of its own.
            if cause.by_elimination.is_some() && known.wants_proof.is_some() {
                continue;
            }
            let (span, wrong) = match &cause.by_elimination {
                None => (cause.id.span, format!("No answer shows the cause `{}`.", cause.id.value)),
                Some(reason) => (reason.span, not_left_over(fault, facts, &cause.id.value)),
            };
            let remedy = format!(
                "Add a check with an answer that `leaves = [\"{}\"]` and other answers that do not.",
                cause.id.value
            );
            found.push(Finding::new(NAME, span, wrong, remedy));
        }
    }
}

/// Why a cause cannot be what is left when everything else has been excluded.
fn not_left_over(fault: &Fault, facts: &FaultFacts, cause: &str) -> String {
    let mixed = fault.causes.iter().position(|known| known.id.value == cause).and_then(|at| facts.causes.get(at));
    let mixed: Vec<&str> = mixed
        .into_iter()
        .flat_map(|known| &known.never_told_from)
        .filter_map(|other| fault.causes.get(*other))
        .map(|other| other.id.value.as_str())
        .collect();
    if mixed.is_empty() {
        let id = fault.id();
        return format!(
            "`{cause}` is to be found by elimination, but no other cause of `{id}` is shown by any answer."
        );
    }
    format!("`{cause}` is to be found by elimination, but no check tells it apart from {}.", listed(mixed))
}
