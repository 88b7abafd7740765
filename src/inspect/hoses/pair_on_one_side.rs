//! `pair-on-one-side`

use std::collections::BTreeSet;

use crate::inspect::book::{Book, Found};
use crate::inspect::{Rule, Subject};
use crate::model::{Actuator, Hose, Id, Side};
use crate::reason::Served;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "pair-on-one-side";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Error,
        matters: "A cylinder with both lines on one side can only move one way, or not at all.",
        page: include_str!("pair-on-one-side.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let book = Book::of(subject.guide);
    let mut one_sided = Found::new();
    for machine in &subject.facts.hoses.machines {
        for (id, served, other) in book.pairs(machine) {
            for (actuator, side) in shared_sides(served, other) {
                one_sided.add((id.clone(), actuator, side), &machine.machine);
            }
        }
    }
    for ((id, actuator, side), on) in one_sided.worded(subject) {
        let Some(hose) = book.hose(&id) else { continue };
        found.extend(finding(&book, hose, &actuator, side, &on));
    }
}

fn finding(book: &Book<'_>, hose: &Hose, actuator: &Id<Actuator>, side: Side, on: &str) -> Option<Finding> {
    let (pair, partner) = (hose.pair.as_ref()?, book.partner(hose)?);
    let side = if side == Side::Cap { "cap" } else { "rod" };
    let name = book.actuator_name(actuator);
    let wrong = format!(
        "`{}` and its pair `{}` both lead to the {side} side of \"{name}\"{on}.",
        hose.id.value, partner.id.value
    );
    let remedy = "Write one of the two to the port on the other side.";
    Some(Finding::new(NAME, pair.span, wrong, remedy).with(partner.id.span, "its pair"))
}

/// Actuators that both hoses lead to on one and the same side, and nowhere else.
fn shared_sides(one: &Served, other: &Served) -> Vec<(Id<Actuator>, Side)> {
    let (one, other) = (one.nearest(), other.nearest());
    let sides = |actuator: &Id<Actuator>| -> BTreeSet<Side> {
        one.union(other).filter(|chamber| chamber.actuator == *actuator).map(|chamber| chamber.side).collect()
    };
    let shared = one.intersection(other).filter(|chamber| sides(&chamber.actuator).len() == 1);
    shared.map(|chamber| (chamber.actuator.clone(), chamber.side)).collect()
}
