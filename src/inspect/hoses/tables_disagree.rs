//! `tables-disagree`

use std::collections::BTreeMap;

use crate::inspect::book::{Book, alike, folded};
use crate::inspect::{Rule, Subject};
use crate::model::quantity::Quantity;
use crate::model::{Hose, Part, PartKind, Varied};
use crate::reason::{Machine, MachineHoses, value_on};
use crate::report::{Finding, Level, RuleInfo};
use crate::text::Span;

const NAME: &str = "tables-disagree";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Error,
        matters: "Whichever of the two tables the technician opens, every second time it is the wrong one.",
        page: include_str!("tables-disagree.md"),
        softenable: true,
    },
    check: Some(check),
};

/// A field that two descriptions of one hose give differently: its name, both values as written, both places.
struct Difference {
    field: &'static str,
    here: (String, Span),
    there: (String, Span),
}

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let book = Book::of(subject.guide);
    let named = how_often_named(subject);
    for machine in &subject.facts.hoses.machines {
        for difference in between_tables(&book, machine) {
            found.push(worded(&difference, "another hose table", "in the other hose table"));
        }
        for hose in machine.serves.keys().filter_map(|id| book.hose(id)) {
            let part = hose.part.as_ref().and_then(|part| subject.guide.parts.get(&part.value));
            let Some(part) = part.filter(|part| part.kind.value == PartKind::Hose) else { continue };
            let only = named.get(part.head.id.value.as_str()) == Some(&1);
            for difference in with_part(hose, part, only, &machine.machine) {
                found.push(worded(&difference, "the record of its part", "in the record of the part"));
            }
        }
    }
    // The same difference on two machines is one difference.
    found.sort();
    found.dedup();
}

fn worded(difference: &Difference, whose: &str, place: &str) -> Finding {
    let Difference { field, here, there } = difference;
    let wrong = format!("The {field} of this hose is {} here, but {} in {whose}.", here.0, there.0);
    let remedy = "Look at the hose, and write in both places what is there; or describe it in one place only.";
    Finding::new(NAME, here.1, wrong, remedy).with(there.1, format!("the {field} {place}"))
}

/// How many rows name a part.
fn how_often_named<'g>(subject: &Subject<'g>) -> BTreeMap<&'g str, usize> {
    let mut named = BTreeMap::new();
    let hoses = subject.guide.circuits.iter().flat_map(|circuit| &circuit.hoses);
    for part in hoses.filter_map(|hose| hose.part.as_ref()) {
        *named.entry(part.as_str()).or_insert(0) += 1;
    }
    named
}

fn between_tables(book: &Book<'_>, machine: &MachineHoses) -> Vec<Difference> {
    let mut by_mark: BTreeMap<String, Vec<&Hose>> = BTreeMap::new();
    for hose in machine.serves.keys().filter_map(|id| book.hose(id)) {
        by_mark.entry(folded(&hose.mark)).or_default().push(hose);
    }
    let mut differences = Vec::new();
    for hoses in by_mark.values_mut() {
        hoses.sort_by_key(|hose| hose.id.span);
        for (index, first) in hoses.iter().enumerate() {
            for later in hoses.iter().skip(index + 1).filter(|later| book.same_hose(first, later)) {
                differences.extend(between_rows(book, later, first, &machine.machine));
            }
        }
    }
    differences
}

fn between_rows(book: &Book<'_>, here: &Hose, there: &Hose, machine: &Machine) -> Vec<Difference> {
    let mut all = Vec::new();
    for (field, here, there) in [("colour", &here.colour, &there.colour), ("fitting", &here.fitting, &there.fitting)] {
        if !alike(here, there) {
            all.push(Difference { field, here: quoted(here, here.span), there: quoted(there, there.span) });
        }
    }
    all.extend(sizes("bore", &here.bore, &there.bore, machine));
    all.extend(sizes("length", &here.length, &there.length, machine));
    let (one, other) = (book.ends(here), book.ends(there));
    if one != other && one.len() == 2 && other.len() == 2 {
        let span = |hose: &Hose| hose.to.as_ref().map_or(hose.id.span, |port| port.span);
        let (here, there) = ((ways(&one), span(here)), (ways(&other), span(there)));
        all.push(Difference { field: "way", here, there });
    }
    all
}

/// "pump A to cylinder C"
fn ways(ends: &[(String, String)]) -> String {
    let ends: Vec<String> = ends.iter().map(|(part, mark)| format!("{part} {}", mark.to_uppercase())).collect();
    ends.join(" to ")
}

fn quoted(text: &str, span: Span) -> (String, Span) {
    (format!("\"{text}\""), span)
}

fn sizes(
    field: &'static str,
    here: &Varied<Quantity>,
    there: &Varied<Quantity>,
    machine: &Machine,
) -> Option<Difference> {
    let (here, there) = (value_on(here, machine)?, value_on(there, machine)?);
    let differ = here.value.value != there.value.value;
    let said = |value: &crate::text::Located<Quantity>| (value.value.to_string(), value.span);
    differ.then(|| Difference { field, here: said(&here.value), there: said(&there.value) })
}

/// Against the part a row names: its mark, where no other row names the part, and its values called bore or length.
fn with_part(hose: &Hose, part: &Part, only: bool, machine: &Machine) -> Vec<Difference> {
    let mut all = Vec::new();
    if let Some(mark) = part.mark.as_ref().filter(|mark| only && !alike(mark, &hose.mark)) {
        let (here, there) = (quoted(&hose.mark, hose.mark.span), quoted(mark, mark.span));
        all.push(Difference { field: "mark", here, there });
    }
    for (field, size) in [("bore", &hose.bore), ("length", &hose.length)] {
        let specs = part.specs.iter().filter(|spec| spec.name.to_lowercase() == field);
        all.extend(specs.filter_map(|spec| sizes(field, size, &spec.values, machine)));
    }
    all
}
