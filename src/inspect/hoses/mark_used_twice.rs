//! `mark-used-twice`

use std::collections::BTreeMap;

use crate::inspect::book::{Book, Found, folded};
use crate::inspect::{Rule, Subject};
use crate::model::{Circuit, Id};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "mark-used-twice";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Error,
        matters: "The mark is how a hose is named beside the machine; two hoses with one mark have no name.",
        page: include_str!("mark-used-twice.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    check_hoses(subject, found);
    for circuit in &subject.guide.circuits {
        check_ports(circuit, found);
    }
}

fn check_hoses(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let book = Book::of(subject.guide);
    let mut twice = Found::new();
    for machine in &subject.facts.hoses.machines {
        let mut seen = BTreeMap::new();
        let mut hoses: Vec<_> = machine.serves.keys().filter_map(|id| book.hose_in_table(id)).collect();
        hoses.sort_by_key(|(_, hose)| hose.id.span);
        for (circuit, hose) in hoses {
            let id = Id::new(hose.id.value.as_str());
            let first = seen.entry((circuit.head.id.value.as_str(), folded(&hose.mark))).or_insert(id.clone());
            // Where the ports of a hose take another mark, `hose-where-another-belongs` says which.
            if *first != id && ![&*first, &id].into_iter().any(|id| book.is_belied(id)) {
                twice.add((first.clone(), id), &machine.machine);
            }
        }
    }
    for ((first, later), on) in twice.worded(subject) {
        let (Some(first), Some(later)) = (book.hose(&first), book.hose(&later)) else { continue };
        let wrong = format!("The hose `{}` carries the mark \"{}\" too{on}.", first.id.value, first.mark.value);
        let remedy = "Write what is really on this hose; where nothing tells them apart, mark it anew. Rows for different \
                      variants need `variants`.";
        found.push(Finding::new(NAME, later.mark.span, wrong, remedy).with(first.mark.span, "the other one"));
    }
}

fn check_ports(circuit: &Circuit, found: &mut Vec<Finding>) {
    let mut seen = BTreeMap::new();
    for port in &circuit.ports {
        let Some(mark) = &port.mark else { continue };
        let first = *seen.entry((&port.part.value, folded(mark))).or_insert(port);
        if first.id == port.id {
            continue;
        }
        let wrong =
            format!("The port `{}` of `{}` carries the mark \"{}\" too.", first.id.value, port.part.value, mark.value);
        let remedy = "Write what is stamped beside this port; where nothing is, leave `mark` out.";
        found.push(Finding::new(NAME, mark.span, wrong, remedy).with(first.id.span, "the other one"));
    }
}
