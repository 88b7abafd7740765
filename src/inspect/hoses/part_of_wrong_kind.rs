//! `part-of-wrong-kind`

use crate::inspect::{Rule, Subject};
use crate::model::{Circuit, Link, Part, PartKind};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "part-of-wrong-kind";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Error,
        matters: "A row that calls a switch a hose was copied and not finished; the wrong part would be ordered.",
        page: include_str!("part-of-wrong-kind.md"),
        softenable: true,
    },
    check: Some(check),
};

/// What a part is named as, the kinds that can be it, and the words for them.
type Wanted = (&'static str, &'static [PartKind], &'static str);

const HOSE: Wanted = ("hose", &[PartKind::Hose, PartKind::Other], "hose");
const FLUID: Wanted = ("fluid", &[PartKind::Fluid], "fluid");
const PUMP: Wanted =
    ("pump", &[PartKind::PumpUnit, PartKind::HandPump, PartKind::Motor, PartKind::Other], "pump-unit or hand-pump");
const ACTUATOR: Wanted =
    ("actuator", &[PartKind::Cylinder, PartKind::Motor, PartKind::Latch, PartKind::Other], "cylinder, motor or latch");

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for circuit in &subject.guide.circuits {
        for (part, wanted) in named(circuit) {
            let Some(named) = subject.guide.parts.get(&part.value) else { continue };
            let (role, kinds, words) = wanted;
            if !kinds.contains(&named.kind.value) {
                let wrong = format!("The part `{}` stands here as the {role}, but is of another kind.", part.value);
                let remedy = format!("Name a part of kind {words}, or correct the kind of the part.");
                found.push(Finding::new(NAME, part.span, wrong, remedy).with(named.kind.span, "its kind"));
            }
        }
    }
}

fn named(circuit: &Circuit) -> impl Iterator<Item = (&Link<Part>, Wanted)> {
    let hoses = circuit.hoses.iter().filter_map(|hose| hose.part.as_ref()).map(|part| (part, HOSE));
    let pumps = circuit.pumps.iter().map(|pump| (&pump.part, PUMP));
    let actuators = circuit.actuators.iter().map(|actuator| (&actuator.part, ACTUATOR));
    hoses.chain(pumps).chain(actuators).chain(circuit.fluid.iter().map(|part| (part, FLUID)))
}
