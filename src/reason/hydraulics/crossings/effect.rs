//! What a crossing changes in one operation, and how it is seen.

use std::collections::BTreeSet;

use super::facts::{Change, Difference, Seen};
use super::sight::sights;
use crate::model::{Actuator, Id, Motion, Part, Port};
use crate::reason::hydraulics::net::Net;
use crate::reason::hydraulics::{Act, ActuatorDoes, Operation, OperationFacts, PortState, Spill};

/// What is watched of one actuator: what it does, and the reservoir that takes what leaves it.
pub(super) type Watched = (Act, Option<Id<Part>>);

/// One operation by the right table.
pub(super) struct Plain<'f> {
    pub(super) facts: &'f OperationFacts,
    by_hand: bool,
    /// Every actuator, as the cylinders of the network stand.
    acts: Vec<Option<(&'f Id<Actuator>, Watched)>>,
    /// How many the pump is to move, and how many of them no load drives.
    moving: usize,
    right: usize,
}

/// What of the same operation can be otherwise with two ends exchanged.
pub(super) struct Crossed<'a> {
    /// Cylinders by their place in the network.
    pub(super) acts: &'a [(usize, Watched)],
    /// Where the pump's flow goes; `None` where the exchange cannot reach the pump.
    pub(super) flow: Option<&'a Outlet>,
}

/// Where a pump's flow goes once nothing moves.
pub(super) struct Outlet {
    pub(super) spill: Spill,
    pub(super) into: Option<Id<Part>>,
    /// Ports that lead to a reservoir and are under pressure.
    pub(super) pressed: Vec<Id<Port>>,
}

impl<'f> Plain<'f> {
    pub(super) fn of(net: &Net, facts: &'f OperationFacts) -> Self {
        let act = |ram: &crate::reason::hydraulics::net::Ram| {
            let (id, one) = facts.actuators.get_key_value(&ram.id)?;
            Some((id, (one.act(), one.returns_to.clone())))
        };
        let acts: Vec<_> = net.rams.iter().map(act).collect();
        let commanded = acts.iter().flatten().filter(|(_, (act, _))| act.does.motion().is_some());
        let right = commanded.clone().filter(|(_, (act, _))| act.load_moves.is_none()).count();
        let by_hand = matches!(&facts.operation, Operation::Run { pump, .. } if net.is_hand_pump(pump));
        Self { facts, by_hand, moving: commanded.count(), right, acts }
    }

    fn standing(&self) -> bool {
        self.facts.operation == Operation::Standing
    }

    /// Every actuator that was solved again, before and after.
    fn pairs<'a>(
        &'a self,
        crossed: &'a Crossed<'_>,
    ) -> impl Iterator<Item = (&'a Id<Actuator>, &'a Watched, &'a Watched)> {
        crossed.acts.iter().filter_map(|(place, after)| {
            let (id, before) = self.acts.get(*place)?.as_ref()?;
            Some((*id, before, after))
        })
    }
}

/// How an operation differs from the right table; `None` where it does not.
pub(super) fn difference(plain: &Plain<'_>, crossed: &Crossed<'_>) -> Option<Difference> {
    let seen = seen(plain, crossed, false);
    if seen.is_empty() {
        return None;
    }
    let changes = plain.pairs(crossed).filter(|(_, before, after)| before.0 != after.0);
    let changes =
        changes.map(|(id, before, after)| (id.clone(), Change { plain: before.0, crossed: after.0 })).collect();
    Some(Difference {
        operation: plain.facts.operation.clone(),
        seen,
        seen_at_start: self::seen(plain, crossed, true),
        sights: sights(changes, plain.standing()),
    })
}

fn seen(plain: &Plain<'_>, crossed: &Crossed<'_>, at_start: bool) -> BTreeSet<Seen> {
    let mut seen = of_pressure(plain.facts, crossed);
    for (_, before, after) in plain.pairs(crossed) {
        of_actuator(before, after, plain.standing(), at_start, &mut seen);
    }
    if !plain.standing() {
        of_all(plain, crossed, at_start, &mut seen);
    }
    // How fast it goes tells nothing once it does something else.
    if seen.len() > 1 {
        seen.remove(&Seen::OtherSpeed);
    }
    seen
}

fn of_pressure(plain: &OperationFacts, crossed: &Crossed<'_>) -> BTreeSet<Seen> {
    let mut seen = BTreeSet::new();
    let Some(flow) = crossed.flow else { return seen };
    if flow.pressed.iter().any(|port| plain.ports.get(port) != Some(&PortState::Pressure)) {
        seen.insert(Seen::PressureAtReservoir);
    }
    if flow.spill == Spill::Nothing && plain.spill != Spill::Nothing {
        seen.insert(Seen::NothingLimits);
    }
    if flow.into != plain.spills_into && flow.into.is_some() {
        seen.insert(Seen::FluidAstray);
    }
    seen
}

fn of_actuator(before: &Watched, after: &Watched, standing: bool, at_start: bool, seen: &mut BTreeSet<Seen>) {
    let ((before, from), (after, to)) = (before, after);
    let (was, is) = (before.moves(), moves(before, after, at_start));
    let by_load = after.load_moves.is_some() && before.load_moves.is_none() && is.is_some();
    if standing {
        if (by_load || after.creeps || after.does == ActuatorDoes::Floats) && !before.creeps && was.is_none() {
            seen.insert(Seen::DoesNotHold);
        }
        return;
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
    if from.is_some() && to.is_some() && from != to {
        seen.insert(Seen::FluidAstray);
    }
}

/// The way an actuator goes; at the start of the operation it cannot go back any further.
fn moves(before: &Act, after: &Act, at_start: bool) -> Option<Motion> {
    let is = after.moves()?;
    // What rests in the right table stands where its load or its lock has put it: in for a load that pushes in.
    let blocked = at_start && before.moves().is_some_and(|was| was != is);
    (!blocked).then_some(is)
}

fn of_all(plain: &Plain<'_>, crossed: &Crossed<'_>, at_start: bool, seen: &mut BTreeSet<Seen>) {
    if plain.moving == 0 {
        return;
    }
    // What was not solved again does what it did.
    let (mut right, mut moving, mut others) = (plain.right, plain.moving, false);
    for (_, (before, _), (after, _)) in plain.pairs(crossed) {
        let is = moves(before, after, at_start);
        if before.does.motion().is_some() {
            right -= usize::from(before.load_moves.is_none());
            right += usize::from(is.is_some() && before.moves() == after.moves() && after.load_moves.is_none());
            moving -= usize::from(is.is_none());
        }
        others |= before.moves().is_none() && after.does.motion().is_some();
    }
    if right > 0 && right < plain.moving {
        seen.insert(Seen::OneSideOnly);
    }
    if moving == 0 && !others {
        seen.insert(if plain.by_hand { Seen::HandPumpDead } else { Seen::NothingMoves });
    }
}
