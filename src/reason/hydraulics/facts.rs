//! The shapes of what is worked out about a circuit. Pressures in Pa, speeds in m/s, forces in N, volumes in m³, exact.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::crossings::Crossings;
use super::slips::Otherwise;
use crate::model::quantity::Exact;
use crate::model::{Actuator, Circuit, Id, Motion, Part, Passage, Port, Pump};
use crate::reason::Machine;

/// One machine: what every direction of every pump does.
#[derive(Debug, Clone, Default)]
pub struct MachineHydraulics {
    pub machine: Machine,
    /// Every direction of every pump in the order of the circuits and their tables, and at last all pumps standing.
    pub operations: Vec<OperationFacts>,
    /// How the reservoirs' levels follow the rods.
    pub levels: Vec<LevelFacts>,
    /// What does not go as the tables say it should.
    pub otherwise: Vec<Otherwise>,
    pub(super) crossings: OnceLock<Crossings>,
}

/// What somebody does to the machine.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Operation {
    /// One pump runs, all others stand.
    Run { pump: Id<Pump>, way: Way },
    /// Every pump stands: what holds is held by valves alone.
    Standing,
}

/// A direction of a pump.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Way {
    Forward,
    Reverse,
}

/// The machine while one operation lasts.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OperationFacts {
    pub operation: Operation,
    /// The circuit the pump belongs to; `None` while all stand.
    pub circuit: Option<Id<Circuit>>,
    /// Where the pump's flow goes once nothing moves.
    pub spill: Spill,
    /// Every port of the machine.
    pub ports: BTreeMap<Id<Port>, PortState>,
    /// Every pilot check, and whether its pilot holds it open.
    pub pilots: BTreeMap<Id<Passage>, bool>,
    /// Every actuator of the machine, also those of other circuits.
    pub actuators: BTreeMap<Id<Actuator>, ActuatorFacts>,
    /// What runs through the passages while everything that can move moves.
    pub flows: Vec<Flow>,
    /// The reservoir that takes what the pump spills once nothing moves.
    pub spills_into: Option<Id<Part>>,
    /// The reservoir the pump draws from.
    pub draws_from: Option<Id<Part>>,
}

/// What limits the pressure of a running pump.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Spill {
    /// No pump runs.
    Standing,
    /// The outlet is open to a reservoir: no pressure builds up.
    Free,
    /// A relief valve opens at this pressure at the pump.
    Relief { at: Exact, passage: Id<Passage> },
    /// Nothing: every way out is shut.
    Nothing,
    /// The pump has no reservoir behind it and delivers nothing.
    Dry,
}

/// What stands at a port.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PortState {
    /// Under the pump's pressure.
    Pressure,
    /// Shut in and squeezed by a piston, above the pump's pressure.
    Squeezed,
    /// Shut in, with a load on it.
    Holds,
    /// Shut in, with nothing on it.
    Shut,
    /// Open to a reservoir.
    Return,
}

/// What one actuator does when its turn comes: steel may hold it back, fluid does not.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ActuatorFacts {
    pub circuit: Id<Circuit>,
    pub does: ActuatorDoes,
    /// The way its load takes it, where nothing holds it back.
    pub load_moves: Option<Motion>,
    /// Held by a standing pump alone, which leaks: it creeps.
    pub creeps: bool,
    /// A pilot check brakes it to the speed of the pump while its load drives it.
    pub metered: bool,
    /// Its speed with all others that move.
    pub speed: Option<Exact>,
    /// Its speed while it moves alone, with the whole flow.
    pub speed_alone: Option<Exact>,
    /// The time of a whole stroke at `speed`, and at `speed_alone`.
    pub stroke_time: Option<Exact>,
    pub stroke_time_alone: Option<Exact>,
    /// The most it can push or pull in the way it moves, or would.
    pub force: Option<Exact>,
    /// The pressures in its cap and rod side while it moves alone.
    pub cap_pressure: Option<Exact>,
    pub rod_pressure: Option<Exact>,
    /// The pressure at the pump that moves it with its load; only where the load's force is written.
    pub needs: Option<Exact>,
    /// The highest pressure that its own piston makes in a chamber that is shut in.
    pub squeezed: Option<Exact>,
    /// The reservoir that takes what leaves it.
    pub returns_to: Option<Id<Part>>,
}

/// What somebody beside the machine sees of one actuator.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Act {
    pub does: ActuatorDoes,
    pub load_moves: Option<Motion>,
    pub creeps: bool,
    pub speed: Option<Exact>,
}

impl Act {
    /// The way the rod goes, driven by the pump or by its load.
    pub fn moves(&self) -> Option<Motion> {
        self.does.motion().or(self.load_moves)
    }
}

/// What an actuator does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ActuatorDoes {
    /// Pressure under the piston, the rod side open.
    Extends,
    /// Pressure on the rod side, the cap side open.
    Retracts,
    /// Both sides on pressure: it extends on the area of the rod, fast and weak.
    Regenerates,
    /// Pressure reaches it, but not enough for its load.
    Stalls,
    /// Pressure reaches one side, and the other can let nothing out.
    Locked,
    /// No side holds it: its load, or a hand, moves it.
    Floats,
    /// Nothing reaches it, and it stays where it is.
    Rests,
}

impl ActuatorDoes {
    /// The way the rod goes by the pump's force.
    pub fn motion(self) -> Option<Motion> {
        match self {
            Self::Extends | Self::Regenerates => Some(Motion::Extends),
            Self::Retracts => Some(Motion::Retracts),
            Self::Stalls | Self::Locked | Self::Floats | Self::Rests => None,
        }
    }
}

impl ActuatorFacts {
    /// The way the rod goes, driven by the pump or by its load.
    pub fn moves(&self) -> Option<Motion> {
        self.act().moves()
    }

    /// What is seen of it.
    pub fn act(&self) -> Act {
        Act { does: self.does, load_moves: self.load_moves, creeps: self.creeps, speed: self.speed }
    }
}

/// What runs through one passage, in m³/s.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Flow {
    pub passage: Id<Passage>,
    /// From `to` to `from` of its row: a pilot check held open.
    pub backwards: bool,
    pub rate: Exact,
}

/// How the level of one circuit's reservoir follows the rods.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct LevelFacts {
    pub circuit: Id<Circuit>,
    pub reservoir: Option<Id<Part>>,
    /// What each rod takes out of the reservoir when it goes from in to out.
    pub rods: BTreeMap<Id<Actuator>, Exact>,
    /// All rods together; `None` where a size is missing.
    pub all: Option<Exact>,
    /// The volume between the marks, as written.
    pub between_marks: Option<Exact>,
    /// How far the level falls, from the rods and the surface, in m.
    pub falls: Option<Exact>,
}
