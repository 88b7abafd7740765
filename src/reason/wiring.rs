//! Wiring paths, machine by machine: what each wire loses and bears, which fuse guards it, what a meter should show.

use std::collections::BTreeMap;

use num_traits::{CheckedAdd, CheckedMul, CheckedSub, Zero};

use super::conductors::conductor;
use super::machines::{Machine, machines_of, value_on};
use crate::model::quantity::{Exact, Quantity};
use crate::model::{Guide, Id, Node, NodeKind, Varied, WiringPath};

/// Every path on every machine it is for.
#[derive(Debug, Default)]
pub struct WiringFacts {
    pub paths: BTreeMap<Id<WiringPath>, Vec<PathFacts>>,
}

/// One path on one machine. Values are in volt, ampere and ohm; nodes are named by their place in the path.
#[derive(Debug, Default)]
pub struct PathFacts {
    pub machine: Machine,
    pub supply: Option<Exact>,
    pub current: Option<Exact>,
    pub budget: Option<Exact>,
    pub wires: Vec<WireFacts>,
    /// What all wires with known size and length lose together; `None` where the current is not known.
    pub drop: Option<Exact>,
    /// True where size and length of every wire are known.
    pub complete: bool,
    pub points: Vec<PointFacts>,
}

/// One wire of a path.
#[derive(Debug)]
pub struct WireFacts {
    pub node: usize,
    /// Greatest resistance at 20 °C.
    pub resistance: Option<Exact>,
    /// What it loses at the running current.
    pub drop: Option<Exact>,
    /// The nearest fuse before it.
    pub fuse: Option<usize>,
    /// The largest fuse it bears: its own rating, else by its size.
    pub bears: Option<Exact>,
    /// True where `bears` is its own rating.
    pub rated: bool,
}

/// What a meter against ground should show at one test point.
#[derive(Debug)]
pub struct PointFacts {
    /// Its place among the path's test points.
    pub point: usize,
    /// While the load runs; `None` where a value is not known.
    pub running: Option<Exact>,
    /// With one switch or relay open, by its node.
    pub open: Vec<(usize, Option<Exact>)>,
}

impl WiringFacts {
    /// Works out every path.
    pub fn of(guide: &Guide) -> Self {
        let paths = guide.wiring.iter().map(|path| {
            let machines = machines_of(guide, &path.head);
            let facts = machines.into_iter().map(|machine| on_machine(path, machine)).collect();
            (Id::new(path.head.id.value.as_str()), facts)
        });
        Self { paths: paths.collect() }
    }
}

fn on_machine(path: &WiringPath, machine: Machine) -> PathFacts {
    let value = |values: &Varied<Quantity>| base_on(values, &machine);
    let current = value(&path.load_current);
    let mut wires = Vec::new();
    let mut fuse = None;
    for (index, node) in path.nodes.iter().enumerate() {
        match node.kind.value {
            NodeKind::Fuse => fuse = Some(index),
            NodeKind::Wire => wires.push(wire(node, index, fuse, current, &machine)),
            _ => {}
        }
    }
    let complete = wires.iter().all(|wire| wire.resistance.is_some());
    let drop = current.and_then(|_| sum(wires.iter().filter_map(|wire| wire.drop)));
    let mut facts = PathFacts {
        supply: value(&path.supply),
        budget: value(&path.drop_budget),
        points: Vec::new(),
        machine,
        current,
        wires,
        drop,
        complete,
    };
    facts.points = path
        .test_points
        .iter()
        .enumerate()
        .filter_map(|(index, point)| {
            let after = path.nodes.iter().position(|node| node.id.value == point.after.as_str())?;
            Some(point_facts(path, &facts, index, after))
        })
        .collect();
    facts
}

/// A value on a machine, in the base unit of its kind.
fn base_on(values: &Varied<Quantity>, machine: &Machine) -> Option<Exact> {
    value_on(values, machine).map(|value| value.value.value.base())
}

fn wire(node: &Node, index: usize, fuse: Option<usize>, current: Option<Exact>, machine: &Machine) -> WireFacts {
    let size = base_on(&node.size, machine).and_then(conductor);
    let length = base_on(&node.length, machine);
    let resistance = size.zip(length).and_then(|(size, length)| size.resistance(length));
    let drop = resistance.zip(current).and_then(|(resistance, current)| resistance.checked_mul(&current));
    let rating = base_on(&node.rating, machine);
    let bears = rating.or_else(|| size.map(super::conductors::Conductor::largest_fuse));
    WireFacts { node: index, resistance, drop, fuse, bears, rated: rating.is_some() }
}

fn sum(values: impl Iterator<Item = Exact>) -> Option<Exact> {
    values.into_iter().try_fold(Exact::zero(), |all, value| all.checked_add(&value))
}

fn point_facts(path: &WiringPath, facts: &PathFacts, point: usize, after: usize) -> PointFacts {
    let load = path.nodes.iter().position(|node| node.kind.value == NodeKind::Load);
    let live = load.is_none_or(|load| after < load);
    let switches = path.nodes.iter().enumerate();
    let switches = switches.filter(|(_, node)| matches!(node.kind.value, NodeKind::Switch | NodeKind::Relay));
    // Without current nothing is lost: the supply stands up to the open contact, ground behind it.
    let open = switches.map(|(index, _)| (index, if after < index { facts.supply } else { Some(Exact::zero()) }));
    PointFacts { point, running: running(facts, after, live), open: open.collect() }
}

/// Before the load: the supply less what the wires so far lose. Behind it: what the wires to ground still lose.
fn running(facts: &PathFacts, after: usize, live: bool) -> Option<Exact> {
    facts.current?;
    let counted: Vec<&WireFacts> = facts.wires.iter().filter(|wire| (wire.node <= after) == live).collect();
    if counted.iter().any(|wire| wire.drop.is_none()) {
        return None;
    }
    let lost = sum(counted.iter().filter_map(|wire| wire.drop))?;
    if live { facts.supply?.checked_sub(&lost) } else { Some(lost) }
}
