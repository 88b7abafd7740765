//! The circuits of one machine as nodes and what joins them.

use std::collections::BTreeMap;

use super::cylinder::Sizes;
use super::exact::zero;
use super::facts::{Operation, Way};
use crate::model::quantity::{Exact, Quantity};
use crate::model::{
    Actuator, Circuit, Guide, Id, Link, Motion, Part, PartKind, Passage, PassageKind, Port, Pump, Side, Varied,
};
use crate::reason::{Machine, holds, value_on};

/// A node: a port, or the inside of a reservoir.
pub(super) type Node = usize;

/// All circuits of one machine.
#[derive(Debug, Clone, Default)]
pub(super) struct Net {
    pub(super) machine: Machine,
    pub(super) ports: BTreeMap<Id<Port>, Node>,
    pub(super) nodes: usize,
    pub(super) lines: Vec<Line>,
    pub(super) passages: Vec<Through>,
    pub(super) rams: Vec<Ram>,
    pub(super) pumps: Vec<Source>,
    /// The inside of each reservoir.
    pub(super) tanks: BTreeMap<Node, Option<Id<Part>>>,
    /// Ports that are part of a reservoir, each with its inside.
    pub(super) open: Vec<(Node, Node)>,
    /// The part each port belongs to.
    pub(super) parts: BTreeMap<Node, Id<Part>>,
    /// What ports are said to be for.
    pub(super) sides: BTreeMap<Node, Side>,
}

/// A hose.
#[derive(Debug, Clone)]
pub(super) struct Line {
    /// `from` and `to` of its row; an end that is left out hangs free.
    pub(super) ends: [Option<Node>; 2],
}

/// A passage.
#[derive(Debug, Clone)]
pub(super) struct Through {
    pub(super) id: Id<Passage>,
    pub(super) kind: PassageKind,
    pub(super) from: Node,
    pub(super) to: Node,
    pub(super) pilot: Option<Node>,
    pub(super) opens_at: Option<Exact>,
}

/// A single-rod cylinder.
#[derive(Debug, Clone)]
pub(super) struct Ram {
    pub(super) id: Id<Actuator>,
    pub(super) circuit: Id<Circuit>,
    pub(super) cap: Node,
    /// `None` for single acting: its rod side breathes.
    pub(super) rod: Option<Node>,
    pub(super) sizes: Option<Sizes>,
    pub(super) stroke: Option<Exact>,
    pub(super) load: Pull,
    pub(super) load_force: Option<Exact>,
}

/// Where a load takes the rod.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Pull {
    In,
    Out,
    None,
}

/// A pump.
#[derive(Debug, Clone)]
pub(super) struct Source {
    pub(super) id: Id<Pump>,
    pub(super) circuit: Id<Circuit>,
    pub(super) forward: Node,
    pub(super) reverse: Option<Node>,
    /// Ports of the pump that lead to its reservoir; none where it sits on it.
    pub(super) suction: Vec<Node>,
    /// The inside of the reservoir it sits on.
    pub(super) tank: Node,
    pub(super) forward_does: Option<Motion>,
    pub(super) reverse_does: Option<Motion>,
    /// Worked by hand: it delivers strokes, no steady flow.
    pub(super) by_hand: bool,
    pub(super) flow: Option<Exact>,
    pub(super) pressure: Option<Exact>,
}

impl Net {
    /// The circuits of a machine as they are written.
    pub(super) fn of(guide: &Guide, machine: &Machine) -> Self {
        let mut net = Self { machine: machine.clone(), ..Self::default() };
        let on_it = |circuit: &&Circuit| holds(circuit.head.applies_to.as_deref(), machine);
        let circuits: Vec<&Circuit> = guide.circuits.iter().filter(on_it).collect();
        for (circuit, port) in circuits.iter().flat_map(|circuit| circuit.ports.iter().map(move |port| (circuit, port)))
        {
            net.take_port(guide, circuit, port);
        }
        for circuit in circuits {
            net.take_circuit(guide, circuit);
        }
        net
    }

    /// What an operation is for: the circuit, and the way its rods should go; `None` where nothing is said.
    pub(super) fn wanted(&self, operation: &Operation) -> Option<(Id<Circuit>, Motion)> {
        let Operation::Run { pump, way } = operation else { return None };
        let pump = self.pumps.iter().find(|known| known.id == *pump)?;
        let motion = if *way == Way::Forward { pump.forward_does } else { pump.reverse_does };
        Some((pump.circuit.clone(), motion?))
    }

    /// True for a relief valve.
    pub(super) fn is_relief(&self, passage: &Id<Passage>) -> bool {
        self.passages.iter().any(|way| way.id == *passage && way.kind == PassageKind::Relief)
    }

    /// True for a pump that is worked by hand.
    pub(super) fn is_hand_pump(&self, pump: &Id<Pump>) -> bool {
        self.pumps.iter().any(|known| known.id == *pump && known.by_hand)
    }

    fn take_port(&mut self, guide: &Guide, circuit: &Circuit, port: &Port) {
        let node = self.node(port.id.value.as_str());
        self.parts.insert(node, port.part.value.clone());
        if let Some(side) = &port.side {
            self.sides.insert(node, side.value);
        }
        let reservoir = guide.parts.get(&port.part).is_some_and(|part| part.kind.value == PartKind::Reservoir);
        // A pump unit may be its own reservoir; then its tank port opens into it.
        let named = circuit.reservoir.as_ref().is_some_and(|part| part.value == port.part.value);
        let to_tank = port.side.as_ref().is_some_and(|side| side.value == Side::Tank);
        if reservoir || (named && to_tank) {
            let tank = self.tank(&port.part.value);
            self.open.push((node, tank));
        }
    }

    fn take_circuit(&mut self, guide: &Guide, circuit: &Circuit) {
        let name = Id::new(circuit.head.id.value.as_str());
        let machine = self.machine.clone();
        for hose in circuit.hoses.iter().filter(|hose| holds(hose.variants.as_deref(), &machine)) {
            let ends = [&hose.from, &hose.to].map(|end| end.as_ref().map(|port| self.port(port)));
            self.lines.push(Line { ends });
        }
        for passage in &circuit.passages {
            let taken = self.passage(passage);
            self.passages.push(taken);
        }
        for actuator in &circuit.actuators {
            let taken = self.ram(&name, actuator);
            self.rams.push(taken);
        }
        for pump in &circuit.pumps {
            let mut taken = self.source(circuit, &name, pump);
            let part = guide.parts.get(&pump.part);
            taken.by_hand = part.is_some_and(|part| part.kind.value == PartKind::HandPump);
            self.pumps.push(taken);
        }
    }

    fn passage(&mut self, passage: &Passage) -> Through {
        Through {
            id: Id::new(passage.id.value.as_str()),
            kind: passage.kind.value,
            from: self.port(&passage.from),
            to: self.port(&passage.to),
            pilot: passage.pilot.as_ref().map(|port| self.port(port)),
            opens_at: self.value(&passage.opens_at),
        }
    }

    fn ram(&mut self, circuit: &Id<Circuit>, actuator: &Actuator) -> Ram {
        let sizes = self.value(&actuator.bore).zip(self.value(&actuator.rod_diameter));
        let load = match actuator.load.as_ref().map(|load| load.value.as_str()) {
            Some("pushes in") => Pull::In,
            Some("pulls out") => Pull::Out,
            _ => Pull::None,
        };
        Ram {
            id: Id::new(actuator.id.value.as_str()),
            circuit: circuit.clone(),
            cap: self.port(&actuator.cap),
            rod: actuator.rod.as_ref().map(|port| self.port(port)),
            sizes: sizes.map(|(bore, rod)| Sizes { bore, rod }),
            stroke: self.value(&actuator.stroke),
            load,
            load_force: self.value(&actuator.load_force).filter(|force| *force > zero()),
        }
    }

    fn source(&mut self, circuit: &Circuit, name: &Id<Circuit>, pump: &Pump) -> Source {
        let named = |port: &Port| {
            port.id.value == pump.forward.as_str()
                || pump.reverse.as_ref().is_some_and(|reverse| port.id.value == reverse.as_str())
        };
        let to_tank =
            |port: &Port| matches!(port.side.as_ref().map(|side| side.value), Some(Side::Tank | Side::Return));
        let own = circuit.ports.iter().filter(|port| port.part.value == pump.part.value);
        let suction: Vec<&Port> = own.filter(|port| to_tank(port) && !named(port)).collect();
        let tank = match &circuit.reservoir {
            Some(part) => self.tank(&part.value),
            None => self.nameless_tank(name),
        };
        Source {
            id: Id::new(pump.id.value.as_str()),
            circuit: name.clone(),
            forward: self.port(&pump.forward),
            reverse: pump.reverse.as_ref().map(|port| self.port(port)),
            suction: suction.into_iter().map(|port| self.node(port.id.value.as_str())).collect(),
            tank,
            forward_does: pump.forward_does.as_ref().map(|does| does.value),
            reverse_does: pump.reverse_does.as_ref().map(|does| does.value),
            by_hand: false,
            flow: self.value(&pump.flow),
            pressure: self.value(&pump.pressure),
        }
    }

    fn value(&self, values: &Varied<Quantity>) -> Option<Exact> {
        value_on(values, &self.machine).map(|value| value.value.value.base())
    }

    fn port(&mut self, port: &Link<Port>) -> Node {
        self.node(port.as_str())
    }

    fn node(&mut self, port: &str) -> Node {
        let next = self.nodes;
        let node = *self.ports.entry(Id::new(port)).or_insert(next);
        self.nodes = self.nodes.max(node + 1);
        node
    }

    fn tank(&mut self, part: &Id<Part>) -> Node {
        let known = self.tanks.iter().find(|(_, of)| of.as_ref() == Some(part)).map(|(node, _)| *node);
        known.unwrap_or_else(|| self.new_tank(Some(part.clone())))
    }

    /// The reservoir of a circuit that names none.
    fn nameless_tank(&mut self, circuit: &Id<Circuit>) -> Node {
        let same = self.pumps.iter().find(|pump| pump.circuit == *circuit).map(|pump| pump.tank);
        same.unwrap_or_else(|| self.new_tank(None))
    }

    fn new_tank(&mut self, part: Option<Id<Part>>) -> Node {
        let node = self.nodes;
        self.nodes += 1;
        self.tanks.insert(node, part);
        node
    }
}
