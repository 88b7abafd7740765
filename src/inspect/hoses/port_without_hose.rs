//! `port-without-hose`

use crate::inspect::book::{Book, Found};
use crate::inspect::{Rule, Subject};
use crate::model::{Id, Port, Side};
use crate::reason::MachineHoses;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "port-without-hose";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Error,
        matters: "An open port in the table is a hose nobody wrote down; the technician will hold one end more than the table has.",
        page: include_str!("port-without-hose.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let book = Book::of(subject.guide);
    let mut open = Found::new();
    for machine in &subject.facts.hoses.machines {
        for id in machine.ports.iter().filter(|id| !machine.ends.contains_key(*id)) {
            if book.port(id).is_some_and(|port| !is_internal(port, machine)) {
                open.add(id.as_str(), &machine.machine);
            }
        }
    }
    for (id, on) in open.worded(subject) {
        let Some(port) = book.port(&Id::new(id)) else { continue };
        let wrong = format!("No hose goes to the port `{id}` of `{}`{on}.", port.part.value);
        let remedy = "Add the row of the hose that is screwed to it. A plugged port needs no record: take it out.";
        found.push(Finding::new(NAME, port.id.span, wrong, remedy));
    }
}

/// True for ports inside a part: an opening to the tank that a passage ends at, or a nameless meeting point of passages.
fn is_internal(port: &Port, machine: &MachineHoses) -> bool {
    let passages = machine.passages.get(port.id.value.as_str()).copied().unwrap_or(0);
    let to_tank = port.side.as_ref().is_some_and(|side| side.value == Side::Tank);
    (to_tank && passages > 0) || (port.mark.is_none() && passages > 1)
}
