//! `suspect-without-fault`

use std::collections::BTreeSet;

use crate::inspect::{Rule, Subject};
use crate::model::{Circuit, Id, Part};
use crate::reason::hydraulics::stalls;
use crate::report::{Finding, Level, RuleInfo};
use crate::text::Span;

const NAME: &str = "suspect-without-fault";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hydraulics",
        level: Level::Warning,
        matters: "When this part makes the circuit slow, uneven or unable to hold, no complaint of the guide would find it.",
        page: include_str!("suspect-without-fault.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    // A fault or a repair that is not there, or could not be read, may cover what is missing here.
    let guide = subject.guide;
    let repairs = guide.faults.iter().flat_map(|fault| &fault.causes).filter_map(|cause| cause.repair.as_ref());
    if guide.faults.is_empty() || repairs.into_iter().any(|link| guide.procedures.get(&link.value).is_none()) {
        return;
    }
    for circuit in &subject.guide.circuits {
        let machines = subject.facts.hydraulics.machines.iter();
        let all = machines.flat_map(|machine| stalls(subject.guide, circuit, machine));
        let suspects: BTreeSet<Id<Part>> = all.flat_map(|stall| stall.suspects).collect();
        let uncovered = suspects.iter().filter(|part| subject.facts.coverage.faults_of(part).next().is_none());
        found.extend(uncovered.filter_map(|part| Some(finding(part, place_of(circuit, part)?))));
    }
}

/// Where a circuit names a part first.
fn place_of(circuit: &Circuit, part: &Id<Part>) -> Option<Span> {
    let rows = circuit.pumps.iter().map(|pump| &pump.part).chain(circuit.actuators.iter().map(|it| &it.part));
    let rows = rows.chain(circuit.passages.iter().map(|passage| &passage.part));
    let hoses = circuit.hoses.iter().filter_map(|hose| hose.part.as_ref());
    let all = circuit.reservoir.iter().chain(rows).chain(hoses);
    all.into_iter().find(|link| link.value == *part).map(|link| link.span)
}

fn finding(part: &Id<Part>, span: Span) -> Finding {
    let wrong = format!("The circuit can stop doing its work because of `{part}`, and no fault covers that part.");
    let remedy = format!("Add a cause or a check that opens, moves, disturbs or links to `{part}` to a fault.");
    Finding::new(NAME, span, wrong, remedy)
}
