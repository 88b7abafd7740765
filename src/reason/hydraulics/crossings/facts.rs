//! The shapes of what is known about crossed hoses.

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::sight::Sight;
use crate::model::{Actuator, Circuit, Hose, Id};
use crate::reason::HoseEnd;
use crate::reason::hydraulics::{Act, Operation};

/// Every exchange of two hose ends on one machine, and what it does.
#[derive(Debug, Clone, Default)]
pub struct Crossings {
    /// In the order of what is worst about them, then of their ends.
    pub all: Vec<Crossing>,
    /// How many exchanges were not worked out, by circuit: the machine is too large.
    pub left_out: BTreeMap<Id<Circuit>, usize>,
    /// Colours that tell apart every two hoses whose ends can be exchanged.
    pub marking: Marking,
    /// Colours that tell apart every two hoses whose exchange makes a difference.
    pub marking_where_it_matters: Marking,
}

/// Two hose ends that fit each other's port.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Crossing {
    pub ends: [HoseEnd; 2],
    pub circuits: [Id<Circuit>; 2],
    /// Whether the two hoses are told apart by what is written on them, and by their colours.
    pub marks_differ: bool,
    pub colours_differ: bool,
    /// The worst of all that is seen.
    pub worst: Seen,
    /// Operations that differ from the right table, in the order of the operations. Exchanges that join the same ports
    /// share them.
    pub differences: Arc<Vec<Difference>>,
}

/// How one operation differs from the right table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Difference {
    pub operation: Operation,
    /// From the middle of the strokes, the worst first.
    pub seen: BTreeSet<Seen>,
    /// From where the operation begins on a sound machine: what would move backwards stands at its stop.
    pub seen_at_start: BTreeSet<Seen>,
    /// What is seen of each actuator; speeds only where nothing else is seen.
    pub sights: BTreeMap<Id<Actuator>, Sight>,
}

/// What one actuator did and does.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Change {
    pub(super) plain: Act,
    pub(super) crossed: Act,
}

/// What is seen on the machine, the most dangerous first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Seen {
    /// Pressure reaches a port that leads to a reservoir.
    PressureAtReservoir,
    /// Nothing limits the pressure any more.
    NothingLimits,
    /// A load comes down, or out, by itself.
    LoadMoves,
    /// A load is not held when everything stands.
    DoesNotHold,
    /// It moves the wrong way.
    WrongWay,
    /// Something moves that another command should move.
    AnotherMoves,
    /// One of several moves, the others do not: the structure twists.
    OneSideOnly,
    /// The hand pump moves nothing.
    HandPumpDead,
    /// Nothing moves, and the pump strains or runs free.
    NothingMoves,
    /// It goes out on the area of its rod: fast and weak.
    FastAndWeak,
    /// Fluid goes to a reservoir it did not come from.
    FluidAstray,
    /// It moves as it should, faster or slower.
    OtherSpeed,
    /// Nothing tells the crossing.
    NoDifference,
}

/// All crossings that look alike.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SeenGroup {
    pub seen: Seen,
    /// Indices into `Crossings::all`.
    pub crossings: Vec<usize>,
}

/// Colours for hoses.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Marking {
    /// How many colours are needed.
    pub colours: usize,
    /// The colour of each hose that needs one, counted from 0.
    pub of: BTreeMap<Id<Hose>, usize>,
    /// True where no marking does with fewer.
    pub fewest: bool,
}

impl Crossings {
    /// The crossings by the worst that is seen, the most dangerous first.
    pub fn groups(&self) -> Vec<SeenGroup> {
        let mut groups: BTreeMap<Seen, Vec<usize>> = BTreeMap::new();
        for (index, crossing) in self.all.iter().enumerate() {
            groups.entry(crossing.worst).or_default().push(index);
        }
        groups.into_iter().map(|(seen, crossings)| SeenGroup { seen, crossings }).collect()
    }

    /// Crossings that neither a mark nor a colour gives away.
    pub fn not_told_apart(&self) -> impl Iterator<Item = &Crossing> {
        self.all.iter().filter(|crossing| !crossing.marks_differ && !crossing.colours_differ)
    }

    /// The crossing of two ends, in either order.
    pub fn of(&self, one: &HoseEnd, other: &HoseEnd) -> Option<&Crossing> {
        self.all.iter().find(|crossing| crossing.ends.contains(one) && crossing.ends.contains(other))
    }
}
