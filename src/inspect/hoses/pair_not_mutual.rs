//! `pair-not-mutual`

use crate::inspect::book::{Book, Found};
use crate::inspect::{Rule, Subject};
use crate::model::{Hose, Id};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "pair-not-mutual";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Error,
        matters: "Two lines are a pair only if both say so; the page would show one hose as crossed with two others.",
        page: include_str!("pair-not-mutual.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let book = Book::of(subject.guide);
    for hose in subject.guide.circuits.iter().flat_map(|circuit| &circuit.hoses) {
        let Some(pair) = &hose.pair else { continue };
        let Some(partner) = book.hose(&pair.value).filter(|_| !stands_elsewhere(&book, hose)) else { continue };
        let Some(wrong) = one_sided(&book, hose, partner) else { continue };
        let remedy = format!(
            "Write `pair = \"{}\"` in the row of `{}`, or name here the other line of the same actuator.",
            hose.id.value, partner.id.value
        );
        found.push(Finding::new(NAME, pair.span, wrong, remedy).with(partner.id.span, "the hose it names"));
    }
    apart_by_variant(subject, &book, found);
}

/// What is wrong where a pair is named by one of the two only.
fn one_sided(book: &Book<'_>, hose: &Hose, partner: &Hose) -> Option<String> {
    if partner.id == hose.id {
        return Some(format!("The hose `{}` names itself as its pair.", hose.id.value));
    }
    let Some(back) = &partner.pair else {
        return Some(format!("`{}` is named as the pair, but names none itself.", partner.id.value));
    };
    if back.as_str() == hose.id.value || is_the_mistake(book, partner, &back.value) {
        return None;
    }
    Some(format!("`{}` is named as the pair, but names `{}` as its own.", partner.id.value, back.value))
}

/// True where the partner's own mention is the one at fault: what it names is unpaired or paired with a third.
fn is_the_mistake(book: &Book<'_>, partner: &Hose, back: &Id<Hose>) -> bool {
    book.hose(back).is_none_or(|named| {
        let elsewhere = book.partner(named).is_some_and(|third| third.id != partner.id);
        named.pair.is_none() || elsewhere || stands_elsewhere(book, named)
    })
}

/// Named across tables: `circuit-mixed` speaks.
fn stands_elsewhere(book: &Book<'_>, hose: &Hose) -> bool {
    let partner = hose.pair.as_ref().and_then(|pair| book.hose(&pair.value));
    let circuits = partner.and_then(|partner| book.circuit_of(partner).zip(book.circuit_of(hose)));
    circuits.is_some_and(|(one, other)| one.head.id != other.head.id)
}

fn apart_by_variant(subject: &Subject<'_>, book: &Book<'_>, found: &mut Vec<Finding>) {
    let mut apart = Found::new();
    for machine in &subject.facts.hoses.machines {
        for hose in machine.serves.keys().filter_map(|id| book.hose(id)) {
            let partner = book.partner(hose).filter(|partner| !machine.serves.contains_key(partner.id.value.as_str()));
            if let Some(partner) = partner {
                apart.add((hose.id.value.as_str(), partner.id.value.as_str()), &machine.machine);
            }
        }
    }
    for ((hose, partner), on) in apart.worded(subject) {
        let pair = book.hose(&Id::new(hose)).and_then(|hose| hose.pair.as_ref());
        let (Some(pair), Some(partner)) = (pair, book.hose(&Id::new(partner))) else { continue };
        let wrong = format!("`{hose}` is there{on}, its pair `{}` is not.", partner.id.value);
        let remedy =
            "Give both rows of the pair the same `variants`, and describe the other variant's pair in rows of its own.";
        found.push(Finding::new(NAME, pair.span, wrong, remedy).with(partner.id.span, "its pair"));
    }
}
