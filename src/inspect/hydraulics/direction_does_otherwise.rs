//! `direction-does-otherwise`

use std::collections::BTreeMap;

use super::rows::Rows;
use crate::inspect::{Rule, Subject};
use crate::model::{Actuator, Id, Motion};
use crate::reason::hydraulics::{ActuatorDoes, ActuatorFacts, MachineHydraulics, Operation, Way, slips};
use crate::report::{Finding, Level, RuleInfo};
use crate::text::Span;

const NAME: &str = "direction-does-otherwise";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hydraulics",
        level: Level::Error,
        matters: "A table that cannot do what the machine does is wrong, and so is every crossing and check made from it.",
        page: include_str!("direction-does-otherwise.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let rows = Rows::of(subject);
    for machine in rows.solved() {
        let runs = machine.otherwise.iter().filter(|one| one.operation != Operation::Standing);
        let mut wrong: BTreeMap<&Operation, Vec<&Id<Actuator>>> = BTreeMap::new();
        for one in runs {
            wrong.entry(&one.operation).or_default().push(&one.actuator);
        }
        if wrong.is_empty() {
            continue;
        }
        found.extend(findings(subject, &rows, machine, &wrong));
        // One machine tells enough: the next would say the same of the same rows.
        return;
    }
}

fn findings(
    subject: &Subject<'_>,
    rows: &Rows<'_>,
    machine: &MachineHydraulics,
    wrong: &BTreeMap<&Operation, Vec<&Id<Actuator>>>,
) -> Vec<Finding> {
    let says = |(operation, actuators): (&&Operation, &Vec<&Id<Actuator>>)| {
        let first = actuators.first()?;
        let does = machine.operation(operation)?.actuators.get(*first)?;
        let more = if actuators.len() > 1 { format!(" ({} actuators in all)", actuators.len()) } else { String::new() };
        Some(format!("With {} the actuator `{first}` {}{more}.", rows.direction(operation), word(does)))
    };
    let explained = slips(subject.guide, &machine.machine);
    if let [slip] = explained.as_slice()
        && let Some((place, remedy)) = rows.slip(slip)
        && let Some(wrong) = wrong.iter().find_map(says)
    {
        return vec![Finding::new(NAME, place, wrong, &remedy)];
    }
    let one = |entry: (&&Operation, &Vec<&Id<Actuator>>)| {
        let (place, want) = declared(rows, entry.0)?;
        let want = if want == Motion::Extends { "extends" } else { "retracts" };
        let remedy = format!(
            "Follow the way from the pump's port through hoses and passages, and correct the row that stops it; or correct \
             `{want}`, if the machine really does otherwise."
        );
        Some(Finding::new(NAME, place, says(entry)?, &remedy))
    };
    wrong.iter().filter_map(one).collect()
}

fn declared(rows: &Rows<'_>, operation: &Operation) -> Option<(Span, Motion)> {
    let Operation::Run { pump, way } = operation else { return None };
    let pump = rows.book.pump(pump)?;
    let does = if *way == Way::Forward { pump.forward_does.as_ref() } else { pump.reverse_does.as_ref() };
    does.map(|does| (does.span, does.value))
}

fn word(one: &ActuatorFacts) -> &'static str {
    match (one.does, one.load_moves) {
        (_, Some(Motion::Extends)) => "is pulled out by its load",
        (_, Some(Motion::Retracts)) => "is pushed in by its load",
        (ActuatorDoes::Extends, None) => "extends",
        (ActuatorDoes::Retracts, None) => "retracts",
        (ActuatorDoes::Regenerates, None) => "has both sides on pressure",
        (ActuatorDoes::Stalls, None) => "gets less pressure than its load needs",
        (ActuatorDoes::Locked, None) => "is locked: one side can let nothing out",
        (ActuatorDoes::Floats, None) => "floats",
        (ActuatorDoes::Rests, None) => "gets no pressure",
    }
}
