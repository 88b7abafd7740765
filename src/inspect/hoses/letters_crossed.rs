//! `letters-crossed`

use std::collections::BTreeMap;

use crate::inspect::book::{Book, Found, folded};
use crate::inspect::{Rule, Subject};
use crate::model::{Hose, Id, Part, Port};
use crate::reason::MachineHoses;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "letters-crossed";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Warning,
        matters: "A goes to A and B to B on most machines; a table that crosses them is more often a slip than the truth.",
        page: include_str!("letters-crossed.md"),
        softenable: true,
    },
    check: Some(check),
};

/// One hose between two parts, with the letters beside its ports, in the order of the parts.
struct Way<'g> {
    hose: &'g Hose,
    letters: [Option<String>; 2],
}

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let book = Book::of(subject.guide);
    let mut crossed = Found::new();
    for machine in &subject.facts.hoses.machines {
        for ways in ways(&book, machine).values() {
            for (at, one) in ways.iter().enumerate() {
                for other in ways.iter().skip(at + 1).filter(|other| are_crossed(one, other)) {
                    crossed.add((id(one.hose), id(other.hose)), &machine.machine);
                }
            }
        }
    }
    for ((one, other), on) in crossed.worded(subject) {
        let (Some(one), Some(other)) = (book.hose(&one), book.hose(&other)) else { continue };
        let Some(to) = &other.to else { continue };
        let (from, into) = (letter(&book, &other.from), letter(&book, &other.to));
        let wrong = format!(
            "`{}` joins the port {from} of one part to {into} of the other, and `{}` the other way round{on}.",
            other.id.value, one.id.value
        );
        let remedy = format!(
            "Look at the machine. If {from} goes to {from}, swap `to` of the two rows; if the maker crossed them, soften this rule for the circuit and say so."
        );
        found.push(Finding::new(NAME, to.span, wrong, remedy).with(one.id.span, "the other hose"));
    }
}

/// The hoses between each two parts, in the order of the tables.
fn ways<'g>(book: &Book<'g>, machine: &MachineHoses) -> BTreeMap<[&'g Id<Part>; 2], Vec<Way<'g>>> {
    let mut ways: BTreeMap<_, Vec<Way<'g>>> = BTreeMap::new();
    for (parts, way) in machine.serves.keys().filter_map(|id| way(book, book.hose(id)?)) {
        ways.entry(parts).or_default().push(way);
    }
    ways.values_mut().for_each(|ways| ways.sort_by_key(|way| way.hose.id.span));
    ways
}

fn way<'g>(book: &Book<'g>, hose: &'g Hose) -> Option<([&'g Id<Part>; 2], Way<'g>)> {
    let mut ports = [book.port(&hose.from.as_ref()?.value)?, book.port(&hose.to.as_ref()?.value)?];
    ports.sort_by(|one, other| one.part.value.cmp(&other.part.value));
    let parts = ports.map(|port| &port.part.value);
    let letters = ports.map(|port| port.mark.as_ref().map(|mark| folded(mark)));
    (parts[0] != parts[1]).then_some((parts, Way { hose, letters }))
}

/// Two hoses between the same two parts, of which each joins the letter of one to the other letter.
fn are_crossed(one: &Way<'_>, other: &Way<'_>) -> bool {
    let ([a, b], [c, d]) = (&one.letters, &other.letters);
    a.is_some() && c.is_some() && a != b && a == d && b == c
}

fn letter(book: &Book<'_>, port: &Option<crate::model::Link<Port>>) -> String {
    let port = port.as_ref().and_then(|port| book.port(&port.value));
    port.and_then(|port| port.mark.as_ref()).map_or_else(String::new, |mark| format!("\"{}\"", mark.value))
}

fn id(hose: &Hose) -> Id<Hose> {
    Id::new(hose.id.value.as_str())
}
