//! Which single slip of a hose table explains that a circuit does not do what it is for.

use super::crossings::{fitted_ends, swap};
use super::facts::{ActuatorDoes, ActuatorFacts, Operation, OperationFacts, Spill};
use super::net::{Net, Node};
use super::operate::operate;
use super::operations;
use crate::model::quantity::Exact;
use crate::model::{Actuator, Guide, Id, Motion, Passage, PassageKind, Port, Pump, Side};
use crate::reason::{HoseEnd, Machine};

/// A slip in one row, or between two rows.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Slip {
    /// A relief valve opens too early for the load.
    Setting(Id<Passage>),
    /// A check valve or relief valve stands the wrong way round.
    Turned(Id<Passage>),
    /// A passage is a pilot check, and is written as something else; its pilot is this port.
    Kind { passage: Id<Passage>, pilot: Id<Port> },
    /// A pilot comes from the wrong port; this one is right.
    Pilot { passage: Id<Passage>, right: Id<Port> },
    /// A passage ends at the wrong port; this one is right.
    End { passage: Id<Passage>, from: bool, right: Id<Port> },
    /// Cap and rod of an actuator are exchanged.
    Chambers(Id<Actuator>),
    /// The two directions of a pump are exchanged.
    Directions(Id<Pump>),
    /// Two hose ends are exchanged.
    Ends([HoseEnd; 2]),
}

/// What a machine does otherwise than its tables say: directions, and loads that are not held.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Otherwise {
    pub operation: Operation,
    pub actuator: Id<Actuator>,
}

/// More edits than this are not tried: a table so large is searched in vain too long.
const MOST_EDITS: usize = 4000;

/// A relief valve that does not open: 10,000 bar, in Pa.
const NEVER: Exact = Exact::new_raw(1_000_000_000, 1);

/// What does not go as the tables say it should.
fn otherwise(net: &Net) -> Vec<Otherwise> {
    let solved: Vec<OperationFacts> = operations(net).iter().map(|operation| operate(net, operation)).collect();
    otherwise_of(net, &solved)
}

/// The same, of operations that are solved.
pub(super) fn otherwise_of(net: &Net, solved: &[OperationFacts]) -> Vec<Otherwise> {
    let of_one = |facts: &OperationFacts| {
        let wanted = net.wanted(&facts.operation);
        let standing = facts.operation == Operation::Standing;
        let bad = move |one: &ActuatorFacts| match &wanted {
            Some((circuit, motion)) => one.circuit == *circuit && !goes(one, *motion),
            None => standing && (one.load_moves.is_some() || one.creeps),
        };
        let wrong = facts.actuators.iter().filter(|(_, one)| bad(one));
        let operation = &facts.operation;
        wrong.map(|(id, _)| Otherwise { operation: operation.clone(), actuator: id.clone() }).collect::<Vec<_>>()
    };
    solved.iter().flat_map(of_one).collect()
}

fn goes(one: &ActuatorFacts, wanted: Motion) -> bool {
    one.does.motion() == Some(wanted) && one.does != ActuatorDoes::Regenerates
}

/// The single slips that explain everything, one for each place in the tables, the most likely sort alone; none where
/// it takes more than one slip.
pub fn slips(guide: &Guide, machine: &Machine) -> Vec<Slip> {
    let net = Net::of(guide, machine);
    let mut edits = rows(&net);
    edits.extend(passages(&net));
    let left = MOST_EDITS.saturating_sub(edits.len());
    edits.extend(fitted_ends(guide, &net, left).into_iter().map(|(one, other)| {
        let slip = Slip::Ends([one.end.clone(), other.end.clone()]);
        let edit: Edit = Box::new(move |net| swap(net, &one, &other));
        (slip, edit)
    }));
    edits.truncate(MOST_EDITS);
    // What goes wrong is tried first: most edits do not mend even that.
    let mut order: Vec<Operation> = otherwise(&net).into_iter().map(|one| one.operation).collect();
    order.extend(operations(&net));
    let mends = |edit: &Edit| {
        let mut edited = net.clone();
        edit(&mut edited);
        order.iter().all(|one| otherwise_of(&edited, &[operate(&edited, one)]).is_empty())
    };
    let mut right: Vec<Slip> = Vec::new();
    for (slip, edit) in edits {
        if !right.iter().any(|known| known.same_place(&slip)) && mends(&edit) {
            right.push(slip);
        }
    }
    let sort = right.iter().map(Slip::sort).min();
    right.retain(|slip| Some(slip.sort()) == sort);
    right
}

impl Slip {
    /// What is looked for first.
    fn sort(&self) -> u8 {
        match self {
            Self::Setting(_) => 0,
            Self::Turned(_) => 1,
            Self::Kind { .. } => 2,
            Self::Pilot { .. } => 3,
            Self::End { .. } => 4,
            Self::Chambers(_) => 5,
            Self::Directions(_) => 6,
            Self::Ends(_) => 7,
        }
    }

    /// True for two slips that one correction of one value would undo.
    fn same_place(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Kind { passage: one, .. }, Self::Kind { passage: other, .. })
            | (Self::Pilot { passage: one, .. }, Self::Pilot { passage: other, .. }) => one == other,
            (Self::End { passage: one, from, .. }, Self::End { passage: other, from: too, .. }) => {
                one == other && from == too
            }
            _ => self == other,
        }
    }
}

/// Relief valves of which one, turned round, would give an operation a way out.
pub fn turned_reliefs(guide: &Guide, machine: &Machine, operation: &Operation) -> Vec<Id<Passage>> {
    let net = Net::of(guide, machine);
    let turned = passages(&net).into_iter().filter_map(|(slip, edit)| match slip {
        Slip::Turned(id) if net.is_relief(&id) => {
            let mut edited = net.clone();
            edit(&mut edited);
            matches!(operate(&edited, operation).spill, Spill::Relief { .. }).then_some(id)
        }
        _ => None,
    });
    turned.collect()
}

/// What puts a slip right, or makes it.
type Edit = Box<dyn Fn(&mut Net)>;

/// Slips in passages.
fn passages(net: &Net) -> Vec<(Slip, Edit)> {
    let mut edits: Vec<(Slip, Edit)> = Vec::new();
    for (index, way) in net.passages.iter().enumerate() {
        let mut edit = |slip: Slip, change: Box<dyn Fn(&mut super::net::Through)>| {
            let edit = move |net: &mut Net| net.passages.get_mut(index).into_iter().for_each(&change);
            edits.push((slip, Box::new(edit)));
        };
        if way.kind == PassageKind::Relief {
            edit(Slip::Setting(way.id.clone()), Box::new(|way| way.opens_at = Some(NEVER)));
        }
        if matches!(way.kind, PassageKind::Check | PassageKind::PilotCheck | PassageKind::Relief) {
            edit(Slip::Turned(way.id.clone()), Box::new(|way| std::mem::swap(&mut way.from, &mut way.to)));
        }
        for (port, node) in siblings(net, way.from) {
            let plain = matches!(way.kind, PassageKind::Open | PassageKind::Check);
            let pilots = net.passages.iter().any(|other| other.pilot == Some(node));
            if plain && (pilots || net.sides.get(&node) == Some(&Side::Pressure)) {
                let slip = Slip::Kind { passage: way.id.clone(), pilot: port.clone() };
                edit(slip, Box::new(move |way| (way.kind, way.pilot) = (PassageKind::PilotCheck, Some(node))));
            }
            if way.kind == PassageKind::PilotCheck && way.pilot != Some(node) {
                let slip = Slip::Pilot { passage: way.id.clone(), right: port.clone() };
                edit(slip, Box::new(move |way| way.pilot = Some(node)));
            }
            for (from, here, there) in [(true, way.from, way.to), (false, way.to, way.from)] {
                if node != here && node != there {
                    let slip = Slip::End { passage: way.id.clone(), from, right: port.clone() };
                    edit(slip, Box::new(move |way| *(if from { &mut way.from } else { &mut way.to }) = node));
                }
            }
        }
    }
    edits
}

/// The ports of the part a port belongs to.
fn siblings(net: &Net, node: Node) -> Vec<(Id<Port>, Node)> {
    let part = net.parts.get(&node);
    let same = net.ports.iter().filter(|(_, other)| part.is_some() && net.parts.get(other) == part);
    same.map(|(id, node)| (id.clone(), *node)).collect()
}

/// Slips in actuators and pumps.
fn rows(net: &Net) -> Vec<(Slip, Edit)> {
    let mut edits: Vec<(Slip, Edit)> = Vec::new();
    for (index, ram) in net.rams.iter().enumerate() {
        let (Some(rod), cap) = (ram.rod, ram.cap) else { continue };
        let edit = move |net: &mut Net| {
            net.rams.get_mut(index).into_iter().for_each(|one| (one.cap, one.rod) = (rod, Some(cap)));
        };
        edits.push((Slip::Chambers(ram.id.clone()), Box::new(edit)));
    }
    for (index, pump) in net.pumps.iter().enumerate() {
        let (Some(reverse), forward) = (pump.reverse, pump.forward) else { continue };
        let edit = move |net: &mut Net| {
            net.pumps.get_mut(index).into_iter().for_each(|one| (one.forward, one.reverse) = (reverse, Some(forward)));
        };
        edits.push((Slip::Directions(pump.id.clone()), Box::new(edit)));
    }
    edits
}
