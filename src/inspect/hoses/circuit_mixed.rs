//! `circuit-mixed`

use std::collections::BTreeMap;

use crate::inspect::book::Book;
use crate::inspect::{Rule, Subject};
use crate::model::{Actuator, Circuit, Link, Passage, Port, Pump};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "circuit-mixed";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Error,
        matters: "Fluid of one circuit in another ruins both, and the page of the circuit would show a line that is not its own.",
        page: include_str!("circuit-mixed.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let book = Book::of(subject.guide);
    let movers = movers(subject);
    for circuit in &subject.guide.circuits {
        for (port, whose) in named_ports(circuit) {
            found.extend(foreign_port(&book, circuit, port, &whose));
        }
        found.extend(circuit.hoses.iter().filter_map(|hose| foreign_pair(&book, circuit, hose.pair.as_ref()?)));
        for port in &circuit.ports {
            let owners = movers.get(port.part.as_str()).filter(|owners| !owners.contains(&id(circuit)));
            let Some(owner) = owners.and_then(|owners| owners.first()) else { continue };
            let wrong =
                format!("`{}` is a pump or an actuator of the circuit `{owner}`, not of this one.", port.part.value);
            let remedy = "Name the part of this circuit that the port is on, or move the port to the other table.";
            found.push(Finding::new(NAME, port.part.span, wrong, remedy));
        }
    }
}

fn id(circuit: &Circuit) -> &str {
    &circuit.head.id.value
}

/// The circuits in which a part is a pump or an actuator.
fn movers<'g>(subject: &Subject<'g>) -> BTreeMap<&'g str, Vec<&'g str>> {
    let mut movers: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for circuit in &subject.guide.circuits {
        let pumps = circuit.pumps.iter().map(|pump| &pump.part);
        for part in pumps.chain(circuit.actuators.iter().map(|actuator| &actuator.part)) {
            movers.entry(part.as_str()).or_default().push(id(circuit));
        }
    }
    movers
}

/// Every port a table names, and what names it.
fn named_ports(circuit: &Circuit) -> impl Iterator<Item = (&Link<Port>, String)> {
    let hoses = circuit.hoses.iter().flat_map(|hose| {
        [&hose.from, &hose.to].into_iter().flatten().map(|port| (port, format!("The hose `{}`", hose.id.value)))
    });
    let pumps = circuit.pumps.iter().flat_map(pump_ports);
    let actuators = circuit.actuators.iter().flat_map(actuator_ports);
    hoses.chain(pumps).chain(actuators).chain(circuit.passages.iter().flat_map(passage_ports))
}

fn pump_ports(pump: &Pump) -> impl Iterator<Item = (&Link<Port>, String)> {
    let ports = std::iter::once(&pump.forward).chain(&pump.reverse);
    ports.map(|port| (port, format!("The pump `{}`", pump.id.value)))
}

fn actuator_ports(actuator: &Actuator) -> impl Iterator<Item = (&Link<Port>, String)> {
    let ports = std::iter::once(&actuator.cap).chain(&actuator.rod);
    ports.map(|port| (port, format!("The actuator `{}`", actuator.id.value)))
}

fn passage_ports(passage: &Passage) -> impl Iterator<Item = (&Link<Port>, String)> {
    let ports = [&passage.from, &passage.to].into_iter().chain(&passage.pilot);
    ports.map(|port| (port, format!("The passage `{}`", passage.id.value)))
}

fn foreign_port(book: &Book<'_>, circuit: &Circuit, port: &Link<Port>, whose: &str) -> Option<Finding> {
    let (owner, declared) = book.port_in_table(port).filter(|(owner, _)| owner.head.id != circuit.head.id)?;
    let wrong = format!("{whose} goes to the port `{}`, which belongs to the circuit `{}`.", port.value, id(owner));
    let remedy = "Name a port of this circuit. Where both circuits really meet, they are one circuit and one table.";
    Some(Finding::new(NAME, port.span, wrong, remedy).with(declared.id.span, "the port"))
}

fn foreign_pair(book: &Book<'_>, circuit: &Circuit, pair: &Link<crate::model::Hose>) -> Option<Finding> {
    let (owner, hose) = book.hose_in_table(pair).filter(|(owner, _)| owner.head.id != circuit.head.id)?;
    let wrong = format!("The pair `{}` is a hose of the circuit `{}`.", pair.value, id(owner));
    let remedy = "Name the other line of the same actuator; it stands in this table.";
    Some(Finding::new(NAME, pair.span, wrong, remedy).with(hose.id.span, "the hose it names"))
}
