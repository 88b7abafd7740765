//! Looking rows of all hose tables up, for the rules about hoses and about hydraulics, and wording on which machines something was found.

use std::collections::BTreeMap;

use crate::inspect::Subject;
use crate::model::{Actuator, Circuit, Guide, Hose, Id, Link, Passage, Port, Pump, Side};
use crate::reason::{End, HoseEnd, Machine, MachineHoses, Rows, Served, by_id};
use crate::text::Span;

/// Rows of all circuits by id: the first that bears it.
pub(super) struct Book<'g> {
    rows: Rows<'g>,
    passages: BTreeMap<&'g str, &'g Passage>,
    pumps: BTreeMap<&'g str, &'g Pump>,
}

impl<'g> Book<'g> {
    pub(super) fn of(guide: &'g Guide) -> Self {
        let circuits = || guide.circuits.iter();
        Self {
            rows: Rows::of(guide),
            passages: by_id(circuits().flat_map(|circuit| &circuit.passages).map(|one| (&one.id, one))),
            pumps: by_id(circuits().flat_map(|circuit| &circuit.pumps).map(|one| (&one.id, one))),
        }
    }

    /// A port with the circuit in whose table it stands.
    pub(super) fn port_in_table(&self, id: &Id<Port>) -> Option<(&'g Circuit, &'g Port)> {
        self.rows.port_in_table(id.as_str())
    }

    /// A hose with the circuit in whose table it stands.
    pub(super) fn hose_in_table(&self, id: &Id<Hose>) -> Option<(&'g Circuit, &'g Hose)> {
        self.rows.hose_in_table(id.as_str())
    }

    pub(super) fn port(&self, id: &Id<Port>) -> Option<&'g Port> {
        self.rows.port(id.as_str())
    }

    pub(super) fn hose(&self, id: &Id<Hose>) -> Option<&'g Hose> {
        self.rows.hose(id.as_str())
    }

    pub(super) fn actuator(&self, id: &Id<Actuator>) -> Option<&'g Actuator> {
        self.rows.actuator(id.as_str())
    }

    pub(super) fn passage(&self, id: &Id<Passage>) -> Option<&'g Passage> {
        self.passages.get(id.as_str()).copied()
    }

    pub(super) fn pump(&self, id: &Id<Pump>) -> Option<&'g Pump> {
        self.pumps.get(id.as_str()).copied()
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
        self.rows.hose_in_table(&hose.id.value).map(|(circuit, _)| circuit)
    }

    /// What an actuator is called.
    pub(super) fn actuator_name(&self, id: &Id<Actuator>) -> String {
        self.actuator(id).map_or_else(|| id.to_string(), |actuator| actuator.name.value.clone())
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

    /// Hoses of a machine that name each other as pair, each two once and in the order of their rows, with what each serves.
    pub(super) fn pairs<'m>(
        &self,
        machine: &'m MachineHoses,
    ) -> impl Iterator<Item = (&'m Id<Hose>, &'m Served, &'m Served)> {
        machine.serves.iter().filter_map(|(id, served)| {
            let hose = self.hose(id)?;
            let partner = self.partner(hose)?;
            let other = machine.serves.get(partner.id.value.as_str())?;
            (hose.id.span < partner.id.span).then_some((id, served, other))
        })
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

/// True where one line cannot join two sides: cap and rod are two chambers of a cylinder, and what is under pressure does
/// not run back to the tank by the same line.
pub(super) fn contradict(one: Side, other: Side) -> bool {
    let feeds_back = |one, other| one == Side::Pressure && matches!(other, Side::Return | Side::Tank);
    is_chamber(one) && is_chamber(other) && one != other || feeds_back(one, other) || feeds_back(other, one)
}

pub(super) fn is_chamber(side: Side) -> bool {
    matches!(side, Side::Cap | Side::Rod)
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
