//! What a crossing changes in one operation, and how it is seen.

use std::collections::{BTreeMap, BTreeSet};

use super::facts::{Change, Difference, Seen};
use crate::model::{Id, Motion, Port, Side};
use crate::reason::hydraulics::net::Net;
use crate::reason::hydraulics::{ActuatorDoes, ActuatorFacts, Operation, OperationFacts, PortState, Spill};

/// How an operation differs from the right table; `None` where it does not.
pub(super) fn difference(net: &Net, plain: &OperationFacts, crossed: &OperationFacts) -> Option<Difference> {
    let actuators: BTreeMap<_, _> = plain
        .actuators
        .iter()
        .filter_map(|(id, before)| {
            let after = crossed.actuators.get(id).filter(|after| differs(before, after))?;
            Some((id.clone(), Change { plain: before.clone(), crossed: after.clone() }))
        })
        .collect();
    let seen = seen(net, plain, crossed, false);
    let seen_at_start = self::seen(net, plain, crossed, true);
    if seen.is_empty() {
        return None;
    }
    let (operation, spill) = (plain.operation.clone(), crossed.spill.clone());
    Some(Difference { operation, seen, seen_at_start, actuators, spill })
}

/// True where somebody at the machine could tell the two apart.
fn differs(before: &ActuatorFacts, after: &ActuatorFacts) -> bool {
    let watched = |facts: &ActuatorFacts| (facts.does, facts.load_moves, facts.creeps, facts.speed);
    watched(before) != watched(after)
}

fn seen(net: &Net, plain: &OperationFacts, crossed: &OperationFacts, at_start: bool) -> BTreeSet<Seen> {
    let mut seen = of_pressure(net, plain, crossed);
    let standing = plain.operation == Operation::Standing;
    for (id, before) in &plain.actuators {
        let Some(after) = crossed.actuators.get(id) else { continue };
        seen.extend(of_actuator(before, after, standing, at_start));
    }
    if !standing {
        seen.extend(of_all(net, plain, crossed, at_start));
    }
    // How fast it goes tells nothing once it does something else.
    if seen.len() > 1 {
        seen.remove(&Seen::OtherSpeed);
    }
    seen
}

fn of_pressure(net: &Net, plain: &OperationFacts, crossed: &OperationFacts) -> BTreeSet<Seen> {
    let mut seen = BTreeSet::new();
    let to_reservoir = |port: &&Id<Port>| {
        let side = net.ports.get(*port).and_then(|node| net.sides.get(node));
        matches!(side, Some(Side::Tank | Side::Return))
    };
    let pressed = |facts: &OperationFacts, port: &Id<Port>| facts.ports.get(port) == Some(&PortState::Pressure);
    if crossed.ports.keys().filter(to_reservoir).any(|port| pressed(crossed, port) && !pressed(plain, port)) {
        seen.insert(Seen::PressureAtReservoir);
    }
    if crossed.spill == Spill::Nothing && plain.spill != Spill::Nothing {
        seen.insert(Seen::NothingLimits);
    }
    if crossed.spills_into != plain.spills_into && crossed.spills_into.is_some() {
        seen.insert(Seen::FluidAstray);
    }
    seen
}

fn of_actuator(before: &ActuatorFacts, after: &ActuatorFacts, standing: bool, at_start: bool) -> BTreeSet<Seen> {
    let mut seen = BTreeSet::new();
    let (was, is) = (before.moves(), moves(before, after, at_start));
    let by_load = after.load_moves.is_some() && before.load_moves.is_none() && is.is_some();
    if standing {
        if (by_load || after.creeps || after.does == ActuatorDoes::Floats) && !before.creeps && was.is_none() {
            seen.insert(Seen::DoesNotHold);
        }
        return seen;
    }
    if by_load {
        seen.insert(Seen::LoadMoves);
    }
    match (was, is) {
        (Some(was), Some(is)) if was != is => seen.insert(Seen::WrongWay),
        (None, Some(_)) if after.load_moves.is_none() => seen.insert(Seen::AnotherMoves),
        (Some(_), Some(_)) if after.does == ActuatorDoes::Regenerates && before.does != after.does => {
            seen.insert(Seen::FastAndWeak)
        }
        (Some(_), Some(_)) if before.speed != after.speed => seen.insert(Seen::OtherSpeed),
        _ => false,
    };
    if before.returns_to.is_some() && after.returns_to.is_some() && before.returns_to != after.returns_to {
        seen.insert(Seen::FluidAstray);
    }
    seen
}

/// The way an actuator goes; at the start of the operation it cannot go back any further.
fn moves(before: &ActuatorFacts, after: &ActuatorFacts, at_start: bool) -> Option<Motion> {
    let is = after.moves()?;
    // What rests in the right table stands where its load or its lock has put it: in for a load that pushes in.
    let blocked = at_start && before.moves().is_some_and(|was| was != is);
    (!blocked).then_some(is)
}

fn of_all(net: &Net, plain: &OperationFacts, crossed: &OperationFacts, at_start: bool) -> BTreeSet<Seen> {
    let mut seen = BTreeSet::new();
    let commanded = plain.actuators.iter().filter(|(_, before)| before.does.motion().is_some());
    let now = commanded.filter_map(|(id, before)| Some((before, crossed.actuators.get(id)?)));
    let right = |(before, after): (&ActuatorFacts, &ActuatorFacts)| {
        moves(before, after, at_start).is_some() && before.moves() == after.moves() && after.load_moves.is_none()
    };
    let right: Vec<bool> = now.clone().map(right).collect();
    let moving = now.filter(|(before, after)| moves(before, after, at_start).is_some()).count();
    let others = plain.actuators.iter().any(|(id, before)| {
        before.moves().is_none() && crossed.actuators.get(id).is_some_and(|after| after.does.motion().is_some())
    });
    if right.is_empty() {
        return seen;
    }
    if right.contains(&true) && right.contains(&false) {
        seen.insert(Seen::OneSideOnly);
    }
    if moving == 0 && !others {
        let by_hand = matches!(&plain.operation, Operation::Run { pump, .. } if net.is_hand_pump(pump));
        seen.insert(if by_hand { Seen::HandPumpDead } else { Seen::NothingMoves });
    }
    seen
}
