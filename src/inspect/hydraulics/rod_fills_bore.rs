//! `rod-fills-bore`

use crate::inspect::{Rule, Subject};
use crate::reason::{machines, value_on};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "rod-fills-bore";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hydraulics",
        level: Level::Error,
        matters: "Force, speed and fluid level are worked out from bore and rod.",
        page: include_str!("rod-fills-bore.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let machines = machines(subject.guide);
    for actuator in subject.guide.circuits.iter().flat_map(|circuit| &circuit.actuators) {
        let too_thick = machines.iter().find_map(|machine| {
            let (bore, rod) = (value_on(&actuator.bore, machine)?, value_on(&actuator.rod_diameter, machine)?);
            (rod.value.value.base() >= bore.value.value.base()).then_some((bore, rod))
        });
        let Some((bore, rod)) = too_thick else { continue };
        let wrong = format!(
            "The rod of `{}` is {} thick, its bore is {}.",
            actuator.id.value,
            rod.value.value.written(),
            bore.value.value.written()
        );
        let remedy = "Write the right diameter. The two may stand in each other's place.";
        found.push(Finding::new(NAME, rod.value.span, wrong, remedy).with(bore.value.span, "the bore"));
    }
}
