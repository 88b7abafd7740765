//! `crossing-does-not-fit`

use crate::inspect::{Rule, Subject};
use crate::model::Cause;
use crate::reason::hydraulics::crossings::can_be_crossed;
use crate::reason::machines_of;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "crossing-does-not-fit";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hydraulics",
        level: Level::Error,
        matters: "Nobody can cross what does not fit, and no check can be made from it.",
        page: include_str!("crossing-does-not-fit.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for fault in &subject.guide.faults {
        let machines = machines_of(subject.guide, &fault.head);
        for cause in fault.causes.iter().filter(|cause| !cause.crossing.is_empty() && are_known(subject, cause)) {
            if !machines.iter().any(|machine| can_be_crossed(subject.guide, machine, cause)) {
                found.extend(finding(cause));
            }
        }
    }
}

/// True where every hose is in a table; `unknown-id` reports others.
fn are_known(subject: &Subject<'_>, cause: &Cause) -> bool {
    let hoses = || subject.guide.circuits.iter().flat_map(|circuit| &circuit.hoses);
    let whole = |hose: &str| hoses().any(|known| known.id.value == hose && known.from.is_some() && known.to.is_some());
    cause.crossing.iter().all(|hose| whole(hose.as_str()))
}

fn finding(cause: &Cause) -> Option<Finding> {
    let place = cause.crossing.last()?;
    let (wrong, remedy) = match cause.crossing.as_slice() {
        [one, other] if one.value != other.value => {
            let wrong = format!(
                "No end of the hose `{}` fits a port of the hose `{}` within its reach.",
                one.value, other.value
            );
            (
                wrong,
                "Name two hoses of one fitting that meet at one part or in one place, or correct `fitting` and `reach`.",
            )
        }
        _ => {
            let wrong = format!("The cause `{}` does not name two hoses that are crossed.", cause.id.value);
            (wrong, "Name the two hoses whose ends are exchanged.")
        }
    };
    Some(Finding::new(NAME, place.span, wrong, remedy))
}
