//! `port-used-twice`

use crate::inspect::book::{Book, Found};
use crate::inspect::{Rule, Subject};
use crate::model::{Id, Port};
use crate::reason::{HoseEnd, MachineHoses};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "port-used-twice";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Error,
        matters: "Two hoses cannot be screwed to one port: the technician stands there with an end too many.",
        page: include_str!("port-used-twice.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let book = Book::of(subject.guide);
    let mut twice = Found::new();
    for machine in &subject.facts.hoses.machines {
        for (port, first, later) in crowded(machine) {
            if !described_twice(&book, first, later) {
                twice.add((port.clone(), later.clone(), first.clone()), &machine.machine);
            }
        }
    }
    for ((port, later, first), on) in twice.worded(subject) {
        let (Some(place), Some(other)) = (book.place(&later), book.place(&first)) else { continue };
        let wrong = if later.hose == first.hose {
            format!("Both ends of the hose `{}` go to the port `{port}`{on}.", later.hose)
        } else {
            format!("The port `{port}` already has an end of the hose `{}`{on}.", first.hose)
        };
        let remedy = "Name the port this end is really screwed to. Where a fitting splits the line, declare the fitting \
                      as a part with ports of its own.";
        found.push(Finding::new(NAME, place, wrong, remedy).with(other, "the end that is there already"));
    }
}

/// Ports with more than one end, each later end with the first one.
fn crowded(machine: &MachineHoses) -> impl Iterator<Item = (&Id<Port>, &HoseEnd, &HoseEnd)> {
    machine.ends.iter().flat_map(|(port, ends)| {
        let first = ends.first();
        ends.iter().skip(1).filter_map(move |later| Some((port, first?, later)))
    })
}

/// One hose in two tables is for `tables-disagree` and `circuit-mixed`.
fn described_twice(book: &Book<'_>, first: &HoseEnd, later: &HoseEnd) -> bool {
    let (first, later) = (book.hose(&first.hose), book.hose(&later.hose));
    first.zip(later).is_some_and(|(first, later)| book.same_hose(first, later))
}
