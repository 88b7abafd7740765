//! `hose-where-another-belongs`

use std::collections::BTreeSet;

use crate::inspect::book::{Book, Found, alike, end_of, folded};
use crate::inspect::{Rule, Subject};
use crate::model::{Circuit, Hose, Port};
use crate::reason::{End, holds};
use crate::report::{Finding, Level, RuleInfo};
use crate::text::Located;

const NAME: &str = "hose-where-another-belongs";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Error,
        matters: "Whoever puts the hoses back by this table crosses two of them, and the machine moves wrongly.",
        page: include_str!("hose-where-another-belongs.md"),
        softenable: true,
    },
    check: Some(check),
};

/// What is wrong with a hose at its ports.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Slip {
    /// Both of its ports say that they take another hose, which is not there: its mark is the mistake.
    Mark,
    /// This end is at a port that takes another hose.
    End(End),
    /// The port at this end takes a hose that is not there.
    Port(End),
}

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let book = Book::of(subject.guide);
    for circuit in &subject.guide.circuits {
        let table = Table { book: &book, circuit };
        let mut slips = Found::new();
        for machine in subject.facts.hoses.machines.iter().map(|machine| &machine.machine) {
            let hoses = || circuit.hoses.iter().filter(|hose| holds(hose.variants.as_deref(), machine));
            let there: BTreeSet<String> = hoses().map(|hose| folded(&hose.mark)).collect();
            for (at, hose) in circuit.hoses.iter().enumerate() {
                if holds(hose.variants.as_deref(), machine) {
                    table.slips_of(hose, &there).into_iter().for_each(|slip| slips.add((at, slip), machine));
                }
            }
        }
        let mut at_fault = BTreeSet::new();
        for ((at, slip), on) in slips.worded(subject) {
            let Some(hose) = circuit.hoses.get(at) else { continue };
            at_fault.extend(table.ends(hose).into_iter().map(|(_, port)| port.id.value.as_str()));
            found.extend(table.worded(hose, slip, &on));
        }
        for port in circuit.ports.iter().filter(|port| !at_fault.contains(port.id.value.as_str())) {
            found.extend(port.takes.iter().filter_map(|mark| table.never_there(port, mark)));
        }
    }
}

/// One table of hoses.
struct Table<'b, 'g> {
    book: &'b Book<'g>,
    circuit: &'g Circuit,
}

impl<'g> Table<'_, 'g> {
    fn ends(&self, hose: &'g Hose) -> Vec<(End, &'g Port)> {
        let ends = [End::From, End::To].into_iter();
        ends.filter_map(|end| Some((end, self.book.port(&end_of(hose, end)?.value)?))).collect()
    }

    /// `there` are the marks of all hoses of the machine.
    fn slips_of(&self, hose: &'g Hose, there: &BTreeSet<String>) -> Vec<Slip> {
        let ends = self.ends(hose);
        let wrong = ends.iter().filter(|(_, port)| !takes(port, hose) || self.home_on_part(hose, port).is_some());
        let wrong: Vec<(End, &Port)> = wrong.copied().collect();
        let lost = |port: &Port| -> BTreeSet<String> {
            port.takes.iter().map(|mark| folded(mark)).filter(|mark| !there.contains(mark)).collect()
        };
        if let ([(_, one), (_, other)], 2) = (wrong.as_slice(), ends.len())
            && !lost(one).is_disjoint(&lost(other))
        {
            return vec![Slip::Mark];
        }
        let stale = |port: &Port| !port.takes.is_empty() && lost(port).len() == port.takes.len();
        wrong.iter().map(|(end, port)| if stale(port) { Slip::Port(*end) } else { Slip::End(*end) }).collect()
    }

    /// Another port of the same part that is stamped with the mark of the hose, where this port says nothing itself.
    fn home_on_part(&self, hose: &Hose, port: &Port) -> Option<&'g Port> {
        let stamped = |port: &Port| port.mark.as_ref().is_some_and(|mark| alike(mark, &hose.mark));
        let others = self.circuit.ports.iter().filter(|other| other.part == port.part && other.id != port.id);
        let silent = port.takes.is_empty() && !stamped(port);
        others.filter(|other| silent && other.takes.is_empty()).find(|other| stamped(other))
    }

    /// Where this end of a hose belongs: on the same part, else anywhere in the table but at its other end.
    fn home(&self, hose: &'g Hose, end: End, port: &Port) -> Option<&'g Port> {
        let said = |other: &&Port| !other.takes.is_empty() && takes(other, hose);
        let free = |other: &&Port| self.ends(hose).iter().all(|(at, it)| *at == end || it.id != other.id);
        let homes: Vec<&Port> = self.circuit.ports.iter().filter(said).filter(free).collect();
        let near = homes.iter().find(|home| home.part == port.part);
        near.or(homes.first()).copied().or_else(|| self.home_on_part(hose, port))
    }

    fn worded(&self, hose: &'g Hose, slip: Slip, on: &str) -> Option<Finding> {
        let ends = self.ends(hose);
        match slip {
            Slip::Mark => {
                let [(_, one), (_, other)] = ends.as_slice() else { return None };
                Some(worded_mark(hose, one, other, on))
            }
            Slip::Port(end) => worded_port(hose, ends.into_iter().find(|(at, _)| *at == end)?.1, on),
            Slip::End(end) => self.worded_end(hose, end, ends.into_iter().find(|(at, _)| *at == end)?.1, on),
        }
    }

    fn worded_end(&self, hose: &'g Hose, end: End, port: &Port, on: &str) -> Option<Finding> {
        let (id, mark) = (&hose.id.value, &hose.mark.value);
        let says = match &port.mark {
            Some(stamped) if port.takes.is_empty() => format!("which is stamped \"{}\"", stamped.value),
            _ => format!("which takes {}", marks(port)),
        };
        let wrong = format!("The hose `{id}`, marked \"{mark}\", ends at the port `{}`, {says}{on}.", port.id.value);
        let remedy = match self.home(hose, end, port) {
            Some(home) => format!("Write `{} = \"{}\"`, the port for \"{mark}\".", end.key(), home.id.value),
            None => format!("Name the port that takes \"{mark}\", or write `takes = [\"{mark}\"]` at this port."),
        };
        Some(Finding::new(NAME, end_of(hose, end)?.span, wrong, remedy).with(place(port), "what the port says"))
    }

    /// A port takes a hose that no row brings to it.
    fn never_there(&self, port: &Port, mark: &Located<String>) -> Option<Finding> {
        let bears = |hose: &&Hose| alike(&hose.mark, mark);
        let bears = self.circuit.hoses.iter().filter(bears);
        let may_come = |hose: &Hose| {
            let ends = [&hose.from, &hose.to];
            ends.iter().any(|end| end.as_ref().is_none_or(|end| end.as_str() == port.id.value))
                || self.ends(hose).len() < ends.len()
        };
        if bears.clone().any(may_come) {
            return None;
        }
        let wrong = match bears.clone().next() {
            Some(hose) => {
                format!("The port takes \"{}\", but the hose `{}` does not end here.", mark.value, hose.id.value)
            }
            None => format!("The port takes \"{}\", but no hose of this table bears that mark.", mark.value),
        };
        let remedy =
            "Write the marks of the hoses that end at this port, as they are written on them; take others out.";
        Some(Finding::new(NAME, mark.span, wrong, remedy))
    }
}

fn worded_mark(hose: &Hose, one: &Port, other: &Port, on: &str) -> Finding {
    let wrong = format!(
        "The hose `{}` is marked \"{}\", but both of its ports, `{}` and `{}`, take {}{on}.",
        hose.id.value,
        hose.mark.value,
        one.id.value,
        other.id.value,
        marks(one)
    );
    let meant = one.takes.iter().find(|mark| takes_mark(other, mark)).map_or("", |mark| mark.as_str());
    let remedy =
        format!("Write `mark = \"{meant}\"`, if that is written on the hose; else correct `takes` of the two ports.");
    Finding::new(NAME, hose.mark.span, wrong, remedy).with(place(one), "what its port takes")
}

fn worded_port(hose: &Hose, port: &Port, on: &str) -> Option<Finding> {
    let wrong = format!(
        "The port `{}` takes {}{on}, but no hose there bears that mark; `{}`, marked \"{}\", ends here.",
        port.id.value,
        marks(port),
        hose.id.value,
        hose.mark.value
    );
    let remedy =
        format!("Write `takes = [\"{}\"]`, or correct the row of the hose that belongs here.", hose.mark.value);
    let said = port.takes.first()?;
    Some(Finding::new(NAME, said.span, wrong, remedy).with(hose.mark.span, "the hose that ends here"))
}

/// True where a port takes the hose, or does not say what it takes.
fn takes(port: &Port, hose: &Hose) -> bool {
    port.takes.is_empty() || takes_mark(port, &hose.mark)
}

fn takes_mark(port: &Port, mark: &str) -> bool {
    port.takes.iter().any(|it| alike(it, mark))
}

/// What a port takes, as a person lists it.
fn marks(port: &Port) -> String {
    let marks: Vec<String> = port.takes.iter().map(|mark| format!("\"{}\"", mark.value)).collect();
    marks.join(" or ")
}

fn place(port: &Port) -> crate::text::Span {
    port.takes.first().or(port.mark.as_ref()).map_or(port.id.span, |said| said.span)
}
