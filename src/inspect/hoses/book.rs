//! Looking things of all hose tables up, and wording on which machines something was found.

use std::collections::BTreeMap;

use crate::inspect::Subject;
use crate::model::{Actuator, Circuit, Guide, Hose, Id, Link, Port};
use crate::reason::{End, HoseEnd, Machine};
use crate::text::Span;

/// Ports, hoses and actuators of all circuits by id, each with its circuit.
pub(super) struct Book<'g> {
    pub(super) ports: BTreeMap<&'g str, (&'g Circuit, &'g Port)>,
    pub(super) hoses: BTreeMap<&'g str, (&'g Circuit, &'g Hose)>,
    pub(super) actuators: BTreeMap<&'g str, &'g Actuator>,
}

impl<'g> Book<'g> {
    pub(super) fn of(guide: &'g Guide) -> Self {
        let mut book = Self { ports: BTreeMap::new(), hoses: BTreeMap::new(), actuators: BTreeMap::new() };
        for circuit in &guide.circuits {
            for port in &circuit.ports {
                book.ports.entry(port.id.value.as_str()).or_insert((circuit, port));
            }
            for hose in &circuit.hoses {
                book.hoses.entry(hose.id.value.as_str()).or_insert((circuit, hose));
            }
            for actuator in &circuit.actuators {
                book.actuators.entry(actuator.id.value.as_str()).or_insert(actuator);
            }
        }
        book
    }

    pub(super) fn port(&self, id: &Id<Port>) -> Option<&'g Port> {
        self.ports.get(id.as_str()).map(|(_, port)| *port)
    }

    pub(super) fn hose(&self, id: &Id<Hose>) -> Option<&'g Hose> {
        self.hoses.get(id.as_str()).map(|(_, hose)| *hose)
    }

    /// True where both ports of a hose say that they take others: its own mark is in doubt.
    pub(super) fn is_belied(&self, id: &Id<Hose>) -> bool {
        let Some(hose) = self.hose(id) else { return false };
        let belies = |link: &Option<Link<Port>>| {
            let port = link.as_ref().and_then(|link| self.port(&link.value));
            port.is_some_and(|port| !port.takes.is_empty() && !port.takes.iter().any(|mark| alike(mark, &hose.mark)))
        };
        belies(&hose.from) && belies(&hose.to)
    }

    pub(super) fn circuit_of(&self, hose: &Hose) -> Option<&'g Circuit> {
        self.hoses.get(hose.id.value.as_str()).map(|(circuit, _)| *circuit)
    }

    /// What an actuator is called.
    pub(super) fn actuator_name(&self, id: &Id<Actuator>) -> String {
        self.actuators.get(id.as_str()).map_or_else(|| id.to_string(), |actuator| actuator.name.value.clone())
    }

    /// The place where a hose end names its port.
    pub(super) fn place(&self, end: &HoseEnd) -> Option<Span> {
        let hose = self.hose(&end.hose)?;
        end_of(hose, end.end).map(|port| port.span)
    }

    /// The hose a row names as its pair, where both name each other and stand in one table.
    pub(super) fn partner(&self, hose: &Hose) -> Option<&'g Hose> {
        let partner = self.hose(hose.pair.as_ref()?)?;
        let mutual = partner.pair.as_ref().is_some_and(|pair| pair.as_str() == hose.id.value);
        let one_table = self.circuit_of(hose)?.head.id.value == self.circuit_of(partner)?.head.id.value;
        (mutual && one_table && partner.id != hose.id).then_some(partner)
    }

    /// True where two rows of different tables can only mean one hose: they carry one mark and name one stock part, or
    /// carry one mark and share a port by part and stamped mark.
    pub(super) fn same_hose(&self, one: &Hose, other: &Hose) -> bool {
        let tables = (self.circuit_of(one), self.circuit_of(other));
        let (Some(here), Some(there)) = tables else { return false };
        if here.head.id == there.head.id || !alike(&one.mark, &other.mark) {
            return false;
        }
        let one_part = one.part.is_some() && one.part == other.part;
        one_part || self.ends(one).iter().any(|end| self.ends(other).contains(end))
    }

    /// The ends of a hose as a person sees them: part and stamped mark, else the id of the port; in order.
    pub(super) fn ends(&self, hose: &Hose) -> Vec<(String, String)> {
        let ports = [&hose.from, &hose.to].into_iter().flatten();
        let mut ends: Vec<_> = ports.filter_map(|port| self.port(port).map(seen)).collect();
        ends.sort();
        ends
    }
}

fn seen(port: &Port) -> (String, String) {
    let mark = port.mark.as_ref().map_or_else(|| port.id.value.clone(), |mark| folded(mark));
    (port.part.to_string(), mark)
}

/// The port an end names.
pub(super) fn end_of(hose: &Hose, end: End) -> Option<&Link<Port>> {
    match end {
        End::From => hose.from.as_ref(),
        End::To => hose.to.as_ref(),
    }
}

/// True where two marks, colours or fittings read the same: small and capital letters and spaces do not tell them apart.
pub(super) fn alike(one: &str, other: &str) -> bool {
    folded(one) == folded(other)
}

/// Text without what does not tell two apart.
pub(super) fn folded(text: &str) -> String {
    let plain = text.to_lowercase().replace('×', "x").replace("gray", "grey");
    plain.split_whitespace().collect()
}

/// What was found, and on which machines.
pub(super) struct Found<K> {
    by_key: BTreeMap<K, Vec<Machine>>,
}

impl<K: Ord> Found<K> {
    pub(super) fn new() -> Self {
        Self { by_key: BTreeMap::new() }
    }

    pub(super) fn add(&mut self, key: K, machine: &Machine) {
        let machines = self.by_key.entry(key).or_default();
        if !machines.contains(machine) {
            machines.push(machine.clone());
        }
    }

    /// Each thing found with the words for its machines: nothing where it holds on all, else " on a, b".
    pub(super) fn worded(self, subject: &Subject<'_>) -> impl Iterator<Item = (K, String)> {
        let all = subject.facts.hoses.machines.len();
        self.by_key.into_iter().map(move |(key, machines)| (key, on(&machines, all)))
    }
}

fn on(machines: &[Machine], all: usize) -> String {
    if machines.len() == all {
        return String::new();
    }
    let named: Vec<&str> = machines.iter().flatten().map(Id::as_str).collect();
    format!(" on {}", named.join(", "))
}
