//! `table-without-hose-marks`

use std::collections::BTreeMap;

use crate::inspect::book::{Book, alike};
use crate::inspect::{Rule, Subject};
use crate::model::{Circuit, Hose, Link, Port, Side};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "table-without-hose-marks";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Advice,
        matters: "Two like rows in each other's place send the fluid of one cylinder to the other, and no rule can see it.",
        page: include_str!("table-without-hose-marks.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let book = Book::of(subject.guide);
    for circuit in subject.guide.circuits.iter().filter(|it| it.ports.iter().all(|port| port.takes.is_empty())) {
        let chambers = chambers(circuit);
        let ways: Vec<(&Hose, Way<'_>)> =
            circuit.hoses.iter().filter_map(|hose| Some((hose, way(&book, &chambers, hose)?))).collect();
        let like = ways.iter().enumerate().find_map(|(at, (one, here))| {
            let mut later = ways.iter().skip(at + 1);
            let (other, _) = later.find(|(other, there)| here.is_like(there) && alike(&one.fitting, &other.fitting))?;
            Some((*one, *other, here.near))
        });
        let Some((one, other, near)) = like else { continue };
        let wrong = format!("No rule would notice `{}` and `{}` in each other's place.", one.id.value, other.id.value);
        let remedy = format!(
            "Say at the ports which hose they take, after a look at the machine; begin with those at `{near}`: \
             `takes = [\"{}\"]`, `takes = [\"{}\"]`.",
            one.mark.value, other.mark.value
        );
        let finding = Finding::new(NAME, circuit.head.id.span, wrong, remedy);
        found.push(finding.with(one.id.span, "one of them").with(other.id.span, "the other"));
    }
}

/// A hose from some part to a chamber of a cylinder.
struct Way<'g> {
    near: &'g str,
    cylinder: &'g str,
    side: Side,
}

impl Way<'_> {
    fn is_like(&self, other: &Self) -> bool {
        self.near == other.near && self.side == other.side && self.cylinder != other.cylinder
    }
}

/// Which cylinder and which of its chambers a port belongs to.
type Chambers<'g> = BTreeMap<&'g str, (&'g str, Side)>;

fn way<'g>(book: &Book<'g>, chambers: &Chambers<'g>, hose: &'g Hose) -> Option<Way<'g>> {
    let (from, to) = (hose.from.as_ref()?, hose.to.as_ref()?);
    [(from, to), (to, from)].into_iter().find_map(|(near, far)| {
        let (cylinder, side) = *chambers.get(far.as_str())?;
        Some(Way { near: book.port(&near.value)?.part.as_str(), cylinder, side })
    })
}

fn chambers(circuit: &Circuit) -> Chambers<'_> {
    let sides = circuit.actuators.iter().flat_map(|it| {
        let rod = it.rod.as_ref().map(|port| (port, it, Side::Rod));
        std::iter::once((&it.cap, it, Side::Cap)).chain(rod)
    });
    sides.map(|(port, it, side): (&Link<Port>, _, _)| (port.as_str(), (it.part.as_str(), side))).collect()
}
