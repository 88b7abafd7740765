//! `rod-thicker-than-bore`

use std::collections::BTreeSet;

use crate::inspect::{Rule, Subject};
use crate::model::Actuator;
use crate::reason::{Machine, value_on};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "rod-thicker-than-bore";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Error,
        matters: "Speeds, forces and fluid levels are worked out from both: with one mistyped, all of them mislead.",
        page: include_str!("rod-thicker-than-bore.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for actuator in subject.guide.circuits.iter().flat_map(|circuit| &circuit.actuators) {
        let machines = subject.facts.hoses.machines.iter().map(|machine| &machine.machine);
        let wrong: BTreeSet<Finding> = machines.filter_map(|machine| too_thick(actuator, machine)).collect();
        found.extend(wrong);
    }
}

fn too_thick(actuator: &Actuator, machine: &Machine) -> Option<Finding> {
    let rod = value_on(&actuator.rod_diameter, machine)?;
    let bore = value_on(&actuator.bore, machine)?;
    if rod.value.value < bore.value.value {
        return None;
    }
    let wrong = format!(
        "The rod of `{}` is {} thick, but the bore it moves in is only {}.",
        actuator.id.value, rod.value.value, bore.value.value
    );
    let remedy = "Correct `rod_diameter` or `bore`; perhaps the two were swapped.";
    Some(Finding::new(NAME, rod.value.span, wrong, remedy).with(bore.value.span, "the bore"))
}
