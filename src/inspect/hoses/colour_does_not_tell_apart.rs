//! `colour-does-not-tell-apart`

use std::collections::BTreeMap;

use crate::inspect::book::{Book, Found, alike, folded};
use crate::inspect::{Rule, Subject};
use crate::model::{Hose, Id, Port};
use crate::reason::MachineHoses;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "colour-does-not-tell-apart";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Error,
        matters: "Two ends that fit each other and look the same will be swapped, sooner rather than later.",
        page: include_str!("colour-does-not-tell-apart.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let book = Book::of(subject.guide);
    let mut same = Found::new();
    for machine in &subject.facts.hoses.machines {
        let alike = [pairs_alike(&book, machine), side_by_side_alike(&book, machine), strangers_alike(&book, machine)];
        for (first, later) in alike.into_iter().flatten() {
            same.add((first.clone(), later.clone()), &machine.machine);
        }
    }
    for ((first, later), on) in same.worded(subject) {
        let (Some(first), Some(later)) = (book.hose(&first), book.hose(&later)) else { continue };
        let wrong = format!(
            "`{}` and `{}` can be screwed to each other's ports{on}, and both are {}.",
            first.id.value, later.id.value, later.colour.value
        );
        let remedy = "Correct the colour. If both really look the same, mark one with a sleeve or tape, and write that \
                      colour.";
        found.push(Finding::new(NAME, later.colour.span, wrong, remedy).with(first.colour.span, "the other one"));
    }
}

/// The two hoses of a pair, of one colour.
fn pairs_alike<'g>(book: &Book<'g>, machine: &MachineHoses) -> Vec<(Id<Hose>, Id<Hose>)> {
    let hoses = machine.serves.keys().filter_map(|id| book.hose(id));
    let pairs = hoses.filter_map(|hose| book.partner(hose).map(|partner| (hose, partner)));
    let first = pairs.filter(|(hose, partner)| hose.id.span < partner.id.span);
    first
        .filter(|(hose, partner)| alike(&hose.colour, &partner.colour) && can_be_crossed(book, hose, partner))
        .map(|(hose, partner)| (id(hose), id(partner)))
        .collect()
}

/// Hoses of one colour that run side by side from one part to another, paired or not.
fn side_by_side_alike(book: &Book<'_>, machine: &MachineHoses) -> Vec<(Id<Hose>, Id<Hose>)> {
    let mut runs: BTreeMap<(Vec<&str>, String), Vec<&Hose>> = BTreeMap::new();
    for hose in machine.serves.keys().filter_map(|id| book.hose(id)) {
        let ports = [&hose.from, &hose.to].into_iter().flatten().filter_map(|port| book.port(&port.value));
        let mut parts: Vec<&str> = ports.map(|port| port.part.as_str()).collect();
        parts.sort_unstable();
        if parts.len() == 2 {
            runs.entry((parts, folded(&hose.colour))).or_default().push(hose);
        }
    }
    let mut found = Vec::new();
    for hoses in runs.values_mut() {
        hoses.sort_by_key(|hose| hose.id.span);
        for pair in hoses.windows(2) {
            let [first, later] = pair else { continue };
            let paired = book.partner(first).is_some_and(|partner| partner.id == later.id);
            if !paired && !book.same_hose(first, later) && can_be_crossed(book, first, later) {
                found.push((id(first), id(later)));
            }
        }
    }
    found
}

/// Hoses of different circuits with one colour and one mark. In one circuit `mark-used-twice` speaks.
fn strangers_alike(book: &Book<'_>, machine: &MachineHoses) -> Vec<(Id<Hose>, Id<Hose>)> {
    let mut looks: BTreeMap<(String, String), Vec<&Hose>> = BTreeMap::new();
    for hose in machine.serves.keys().filter_map(|id| book.hose(id)) {
        looks.entry((folded(&hose.mark), folded(&hose.colour))).or_default().push(hose);
    }
    let mut found = Vec::new();
    for hoses in looks.values() {
        for (index, first) in hoses.iter().enumerate() {
            let later = hoses.iter().skip(index + 1).filter(|later| {
                let circuits = (book.circuit_of(first), book.circuit_of(later));
                let apart = circuits.0.zip(circuits.1).is_some_and(|(one, other)| one.head.id != other.head.id);
                apart && !book.same_hose(first, later) && can_be_crossed(book, first, later)
            });
            found.extend(later.map(|later| (id(first), id(later))));
        }
    }
    found
}

/// True where an end of one fits the other's and lies within its reach.
fn can_be_crossed(book: &Book<'_>, one: &Hose, other: &Hose) -> bool {
    let ports = |hose: &Hose| -> Vec<&Port> {
        [&hose.from, &hose.to].into_iter().flatten().filter_map(|port| book.port(&port.value)).collect()
    };
    let (here, there) = (ports(one), ports(other));
    alike(&one.fitting, &other.fitting)
        && here.iter().any(|port| there.iter().any(|other| port.id != other.id && within_reach(port, other)))
}

/// Ports of one part, or of one place.
fn within_reach(one: &Port, other: &Port) -> bool {
    let place = one.reach.as_ref().zip(other.reach.as_ref());
    one.part == other.part || place.is_some_and(|(one, other)| alike(one, other))
}

fn id(hose: &Hose) -> Id<Hose> {
    Id::new(hose.id.value.as_str())
}
