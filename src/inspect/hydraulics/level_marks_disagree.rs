//! `level-marks-disagree`

use std::collections::BTreeSet;

use crate::inspect::{Rule, Subject};
use crate::model::quantity::{Exact, Quantity};
use crate::model::{LevelMarks, Rods, Sourced, Varied};
use crate::reason::hydraulics::LevelFacts;
use crate::reason::{Machine, value_on};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "level-marks-disagree";

/// Millilitres and tenths of millimetres are read, not measured: a twentieth is let pass.
const LET_PASS: (i128, i128) = (1, 20);

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hydraulics",
        level: Level::Error,
        matters: "A level read against the wrong mark is topped up when it is right, and the fluid leaves by the cap.",
        page: include_str!("level-marks-disagree.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for circuit in &subject.guide.circuits {
        if let Some(marks) = &circuit.level {
            found.extend(turned_round(marks));
        }
    }
    let mut said = BTreeSet::new();
    for machine in &subject.facts.hydraulics.machines {
        for level in &machine.levels {
            let marks = subject.guide.circuits.get(&level.circuit).and_then(|circuit| circuit.level.as_ref());
            let Some(marks) = marks else { continue };
            found.extend(amounts(marks, level, &machine.machine).filter(|finding| said.insert(finding.span)));
        }
    }
}

/// Fluid goes out of the reservoir when rods go out: the upper mark is for rods that are in.
fn turned_round(marks: &LevelMarks) -> Option<Finding> {
    let upper = marks.upper.as_ref().filter(|rods| rods.value == Rods::Out);
    let lower = marks.lower.as_ref().filter(|rods| rods.value == Rods::In);
    let place = upper.or(lower)?;
    let wrong = "The marks stand the wrong way round: when rods go out, the level falls.";
    let remedy = "Write `upper = \"rods in\"` and `lower = \"rods out\"`.";
    Some(Finding::new(NAME, place.span, wrong, remedy))
}

fn amounts(marks: &LevelMarks, level: &LevelFacts, machine: &Machine) -> impl Iterator<Item = Finding> {
    let between = contradiction(&marks.between, level.all, machine).map(|(value, right)| {
        let wrong = format!(
            "The marks are {} apart, the rods take {} mL when they go out.",
            value.value.value.written(),
            whole(right * 1_000_000)
        );
        let remedy = "Correct the volume between the marks, or the rods and strokes of the actuators.";
        Finding::new(NAME, value.value.span, wrong, remedy)
    });
    let falls = contradiction(&marks.falls, level.falls, machine).map(|(value, right)| {
        let wrong = format!(
            "The level is said to fall by {}; rods and surface make it {} mm.",
            value.value.value.written(),
            whole(right * 1_000)
        );
        Finding::new(NAME, value.value.span, wrong, "Correct the fall, the surface, or the rods and strokes.")
    });
    between.into_iter().chain(falls)
}

/// A written value that is too far from the one worked out.
fn contradiction<'v>(
    written: &'v Varied<Quantity>,
    right: Option<Exact>,
    machine: &Machine,
) -> Option<(&'v Sourced<Quantity>, Exact)> {
    let (value, right) = (value_on(written, machine)?, right?);
    let said = value.value.value.base();
    let off = if said > right { said - right } else { right - said };
    (off > right * Exact::new(LET_PASS.0, LET_PASS.1)).then_some((value, right))
}

fn whole(value: Exact) -> i128 {
    value.round().to_integer()
}
