//! `sides-disagree`

use std::collections::BTreeMap;

use crate::inspect::book::{Book, contradict, is_chamber};
use crate::inspect::{Rule, Subject};
use crate::model::{Circuit, Link, Port, Side};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "sides-disagree";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Error,
        matters: "A line from the cap side of one part to the rod side of another makes the cylinder move the wrong way.",
        page: include_str!("sides-disagree.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let book = Book::of(subject.guide);
    for circuit in &subject.guide.circuits {
        let chambers = chambers(circuit);
        for (link, side) in chambers.values() {
            found.extend(misnamed(&book, link, *side));
        }
        let side_of = |link: &Link<Port>| {
            let chamber = chambers.get(link.as_str()).map(|(_, side)| *side);
            chamber.or_else(|| book.port(&link.value).and_then(declared))
        };
        for hose in &circuit.hoses {
            let (Some(from), Some(to)) = (&hose.from, &hose.to) else { continue };
            let (Some(here), Some(there)) = (side_of(from), side_of(to)) else { continue };
            if contradict(here, there) {
                let wrong = format!(
                    "The hose `{}` leads from a port of the {} side to one of the {} side.",
                    hose.id.value,
                    word(here),
                    word(there)
                );
                let remedy =
                    "Name the port that the end is really screwed to, or correct `side` of one of the two ports.";
                found.push(Finding::new(NAME, to.span, wrong, remedy).with(from.span, "its other end"));
            }
        }
    }
}

/// The ports that actuators name as cap and rod.
fn chambers(circuit: &Circuit) -> BTreeMap<&str, (&Link<Port>, Side)> {
    let ports = circuit.actuators.iter().flat_map(|actuator| {
        let rod = actuator.rod.as_ref().map(|port| (port, Side::Rod));
        std::iter::once((&actuator.cap, Side::Cap)).chain(rod)
    });
    ports.map(|(port, side)| (port.as_str(), (port, side))).collect()
}

fn misnamed(book: &Book<'_>, link: &Link<Port>, side: Side) -> Option<Finding> {
    let port = book.port(&link.value)?;
    let said = port.side.as_ref().filter(|said| is_chamber(said.value) && said.value != side)?;
    let wrong = format!("An actuator names this port as its {} side; here it says {}.", word(side), word(said.value));
    let remedy = "Correct `side` here, or `cap` and `rod` of the actuator.";
    Some(Finding::new(NAME, said.span, wrong, remedy).with(link.span, "where the actuator names it"))
}

fn declared(port: &Port) -> Option<Side> {
    port.side.as_ref().map(|side| side.value)
}

fn word(side: Side) -> &'static str {
    match side {
        Side::Cap => "cap",
        Side::Rod => "rod",
        Side::Pressure => "pressure",
        Side::Return => "return",
        Side::Tank => "tank",
    }
}
