//! What one actuator is seen to do that it should not.

use std::collections::BTreeMap;

use super::facts::Change;
use crate::model::{Actuator, Id, Motion};
use crate::reason::hydraulics::ActuatorDoes;

/// What one actuator is seen to do, the dangers first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Sight {
    /// Its load takes it along, and nothing brakes it.
    ByLoad(Motion),
    /// It sinks while all stands: only a pump holds it.
    Creeps,
    /// Nothing holds it.
    Unheld,
    WrongWay(Motion),
    /// It moves though the direction is for others.
    Unbidden(Motion),
    FastAndWeak(Motion),
    Stuck,
    Weak,
    Still,
    Faster(Motion),
    Slower(Motion),
}

impl Sight {
    /// What is seen of a change; `None` where it cannot be seen.
    pub(super) fn of(change: &Change, standing: bool) -> Option<Self> {
        let (was, is) = (change.plain.moves(), change.crossed.moves());
        let by_load = change.crossed.does.motion().is_none() && change.plain.load_moves.is_none();
        if let Some(is) = is.filter(|_| by_load) {
            return Some(Self::ByLoad(is));
        }
        if standing {
            let loose = change.crossed.does == ActuatorDoes::Floats && change.plain.does != ActuatorDoes::Floats;
            return if change.crossed.creeps { Some(Self::Creeps) } else { loose.then_some(Self::Unheld) };
        }
        match (was, is) {
            (Some(was), Some(is)) if was != is => Some(Self::WrongWay(is)),
            (None, Some(is)) => Some(Self::Unbidden(is)),
            (Some(_), Some(is)) if change.crossed.does == ActuatorDoes::Regenerates => Some(Self::FastAndWeak(is)),
            (Some(_), Some(is)) if change.crossed.speed > change.plain.speed => Some(Self::Faster(is)),
            (Some(_), Some(is)) => (change.crossed.speed < change.plain.speed).then_some(Self::Slower(is)),
            (Some(_), None) => Some(match change.crossed.does {
                ActuatorDoes::Locked => Self::Stuck,
                ActuatorDoes::Stalls => Self::Weak,
                ActuatorDoes::Floats => Self::Unheld,
                _ => Self::Still,
            }),
            (None, None) => None,
        }
    }

    /// True where only the speed differs.
    pub fn is_speed(self) -> bool {
        matches!(self, Self::Faster(_) | Self::Slower(_))
    }
}

/// What is seen of each actuator that does otherwise.
pub(super) fn sights(changes: Vec<(Id<Actuator>, Change)>, standing: bool) -> BTreeMap<Id<Actuator>, Sight> {
    let seen = |(id, change): (Id<Actuator>, Change)| Some((id, Sight::of(&change, standing)?));
    let mut sights: BTreeMap<_, _> = changes.into_iter().filter_map(seen).collect();
    // How fast the others go tells nothing once one does something else.
    if sights.values().any(|sight| !sight.is_speed()) {
        sights.retain(|_, sight| !sight.is_speed());
    }
    sights
}
