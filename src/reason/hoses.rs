//! Hoses as a graph, machine by machine: which ends meet at a port, which lines they make, which chambers they serve.

use std::collections::{BTreeMap, BTreeSet};

use super::machines::{Machine, holds, machines};
use crate::model::{Actuator, Circuit, Guide, Hose, Id, PassageKind, Port, Side};

/// The hoses of every machine.
#[derive(Debug, Default)]
pub struct HoseFacts {
    pub machines: Vec<MachineHoses>,
}

/// The hoses as they lie on one machine.
#[derive(Debug, Default)]
pub struct MachineHoses {
    pub machine: Machine,
    /// Ports whose part and circuit this machine has.
    pub ports: BTreeSet<Id<Port>>,
    /// The hose ends at each port, circuit by circuit, row by row.
    pub ends: BTreeMap<Id<Port>, Vec<HoseEnd>>,
    /// How many ends of passages lie at each port.
    pub passages: BTreeMap<Id<Port>, usize>,
    /// What each hose of this machine serves.
    pub serves: BTreeMap<Id<Hose>, Served>,
}

/// One end of a hose.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct HoseEnd {
    pub hose: Id<Hose>,
    pub end: End,
}

/// Which end of its row a hose end is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum End {
    From,
    To,
}

/// One side of one actuator.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Chamber {
    pub actuator: Id<Actuator>,
    /// `Cap` or `Rod`.
    pub side: Side,
}

/// The chambers a hose leads to.
#[derive(Debug, Clone, Default)]
pub struct Served {
    /// Those that one of its own ends is screwed to.
    pub direct: BTreeSet<Chamber>,
    /// Those on its whole line: through further hoses and through passages that stay open in normal running.
    pub reached: BTreeSet<Chamber>,
}

impl Served {
    /// The chambers at its own ends, else those on its line.
    pub fn nearest(&self) -> &BTreeSet<Chamber> {
        if self.direct.is_empty() { &self.reached } else { &self.direct }
    }
}

impl End {
    /// The key of the row that this end stands under.
    pub fn key(self) -> &'static str {
        match self {
            Self::From => "from",
            Self::To => "to",
        }
    }
}

impl HoseFacts {
    /// Works out the hoses of every machine.
    pub fn of(guide: &Guide) -> Self {
        Self { machines: machines(guide).into_iter().map(|machine| on_machine(guide, machine)).collect() }
    }
}

fn on_machine(guide: &Guide, machine: Machine) -> MachineHoses {
    let circuits: Vec<&Circuit> =
        guide.circuits.iter().filter(|circuit| holds(circuit.head.applies_to.as_deref(), &machine)).collect();
    let mut facts = MachineHoses { machine, ..MachineHoses::default() };
    let mut lines = Lines::default();
    for circuit in &circuits {
        take_ports(guide, circuit, &mut facts);
        take_hoses(circuit, &mut facts, &mut lines);
        take_passages(circuit, &mut facts, &mut lines);
    }
    let chambers = Chambers::of(&circuits, &mut lines);
    for circuit in &circuits {
        for hose in hoses_on(circuit, &facts.machine) {
            let served = chambers.served(hose, &mut lines);
            facts.serves.insert(Id::new(hose.id.value.as_str()), served);
        }
    }
    facts
}

fn take_ports(guide: &Guide, circuit: &Circuit, facts: &mut MachineHoses) {
    for port in &circuit.ports {
        let part = guide.parts.get(&port.part);
        if part.is_none_or(|part| holds(part.head.applies_to.as_deref(), &facts.machine)) {
            facts.ports.insert(Id::new(port.id.value.as_str()));
        }
    }
}

fn take_hoses<'g>(circuit: &'g Circuit, facts: &mut MachineHoses, lines: &mut Lines<'g>) {
    let machine = facts.machine.clone();
    for hose in hoses_on(circuit, &machine) {
        for (end, port) in [(End::From, &hose.from), (End::To, &hose.to)] {
            let Some(port) = port else { continue };
            let end = HoseEnd { hose: Id::new(hose.id.value.as_str()), end };
            facts.ends.entry(port.value.clone()).or_default().push(end);
        }
        if let (Some(from), Some(to)) = (&hose.from, &hose.to) {
            lines.join(from.as_str(), to.as_str());
        }
    }
}

fn take_passages<'g>(circuit: &'g Circuit, facts: &mut MachineHoses, lines: &mut Lines<'g>) {
    for passage in &circuit.passages {
        for port in [&passage.from, &passage.to] {
            *facts.passages.entry(port.value.clone()).or_default() += 1;
        }
        // A relief valve and a hand valve are shut in normal running: what they could join are two lines.
        if !matches!(passage.kind.value, PassageKind::Relief | PassageKind::HandValve) {
            lines.join(passage.from.as_str(), passage.to.as_str());
        }
    }
}

fn hoses_on<'g, 'm>(circuit: &'g Circuit, machine: &'m Machine) -> impl Iterator<Item = &'g Hose> + use<'g, 'm> {
    circuit.hoses.iter().filter(|hose| holds(hose.variants.as_deref(), machine))
}

/// The chambers of a machine, by port and by line.
#[derive(Default)]
struct Chambers<'g> {
    by_port: BTreeMap<&'g str, BTreeSet<Chamber>>,
    by_line: BTreeMap<usize, BTreeSet<Chamber>>,
}

impl<'g> Chambers<'g> {
    fn of(circuits: &[&'g Circuit], lines: &mut Lines<'g>) -> Self {
        let mut all = Self::default();
        for actuator in circuits.iter().flat_map(|circuit| &circuit.actuators) {
            for (side, port) in [(Side::Cap, Some(&actuator.cap)), (Side::Rod, actuator.rod.as_ref())] {
                let Some(port) = port else { continue };
                let chamber = Chamber { actuator: Id::new(actuator.id.value.as_str()), side };
                all.by_line.entry(lines.line(port.as_str())).or_default().insert(chamber.clone());
                all.by_port.entry(port.as_str()).or_default().insert(chamber);
            }
        }
        all
    }

    fn served(&self, hose: &'g Hose, lines: &mut Lines<'g>) -> Served {
        let mut served = Served::default();
        for port in [&hose.from, &hose.to].into_iter().flatten() {
            served.direct.extend(self.by_port.get(port.as_str()).into_iter().flatten().cloned());
            served.reached.extend(self.by_line.get(&lines.line(port.as_str())).into_iter().flatten().cloned());
        }
        served
    }
}

/// Ports joined into lines.
#[derive(Default)]
struct Lines<'g> {
    numbers: BTreeMap<&'g str, usize>,
    above: Vec<usize>,
}

impl<'g> Lines<'g> {
    fn number(&mut self, port: &'g str) -> usize {
        let next = self.above.len();
        let number = *self.numbers.entry(port).or_insert(next);
        if number == next {
            self.above.push(next);
        }
        number
    }

    fn line(&mut self, port: &'g str) -> usize {
        let number = self.number(port);
        self.root(number)
    }

    fn root(&mut self, mut number: usize) -> usize {
        while let Some(&above) = self.above.get(number) {
            if above == number {
                break;
            }
            // Each look halves the way for the next.
            let further = self.above.get(above).copied().unwrap_or(above);
            if let Some(slot) = self.above.get_mut(number) {
                *slot = further;
            }
            number = further;
        }
        number
    }

    fn join(&mut self, one: &'g str, other: &'g str) {
        let (one, other) = (self.line(one), self.line(other));
        let (low, high) = (one.min(other), one.max(other));
        if let Some(slot) = self.above.get_mut(high) {
            *slot = low;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn ports_joined_over_others_are_one_line() {
        let mut lines = Lines::default();
        for (one, other) in [("a", "b"), ("c", "d"), ("b", "c"), ("x", "y")] {
            lines.join(one, other);
        }
        assert_eq!(lines.line("a"), lines.line("d"));
        assert_ne!(lines.line("a"), lines.line("x"));
    }
}
