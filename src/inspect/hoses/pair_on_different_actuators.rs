//! `pair-on-different-actuators`

use std::collections::BTreeSet;

use crate::inspect::book::{Book, Found};
use crate::inspect::{Rule, Subject};
use crate::model::{Actuator, Hose, Id};
use crate::reason::Served;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "pair-on-different-actuators";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Error,
        matters: "Two lines of different actuators are no pair: the crossing table would send the technician to the wrong cylinder.",
        page: include_str!("pair-on-different-actuators.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let book = Book::of(subject.guide);
    let mut apart = Found::new();
    for machine in &subject.facts.hoses.machines {
        for (id, served, other) in book.pairs(machine) {
            let (here, there) = (actuators(served), actuators(other));
            if !here.is_empty() && !there.is_empty() && here.is_disjoint(&there) {
                apart.add((id.clone(), named(&book, &here), named(&book, &there)), &machine.machine);
            }
        }
    }
    for ((id, here, there), on) in apart.worded(subject) {
        if let Some(hose) = book.hose(&id) {
            found.extend(finding(&book, hose, &format!("leads to {here}{on}, its pair"), &there));
        }
    }
}

fn finding(book: &Book<'_>, hose: &Hose, says: &str, there: &str) -> Option<Finding> {
    let (pair, partner) = (hose.pair.as_ref()?, book.partner(hose)?);
    let wrong = format!("`{}` {says} `{}` to {there}.", hose.id.value, partner.id.value);
    let remedy = "Pair the two lines of one actuator, or correct the end that was written to the wrong cylinder.";
    Some(Finding::new(NAME, pair.span, wrong, remedy).with(partner.id.span, "its pair"))
}

fn actuators(served: &Served) -> BTreeSet<&Id<Actuator>> {
    served.nearest().iter().map(|chamber| &chamber.actuator).collect()
}

fn named(book: &Book<'_>, actuators: &BTreeSet<&Id<Actuator>>) -> String {
    let names: Vec<String> = actuators.iter().map(|id| format!("\"{}\"", book.actuator_name(id))).collect();
    names.join(", ")
}
