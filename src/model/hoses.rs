//! Hydraulic circuits: pumps, actuators, ports, hoses.

use super::quantity::Quantity;
use super::{Cited, Entry, Head, Kind, Link, Part, Prose, Reading, Variant, Varied};
use crate::text::{Located, Span};

/// All that one pump drives, as one table of hoses.
#[derive(Debug, Clone)]
pub struct Circuit {
    pub head: Head,
    pub name: Located<String>,
    pub says: Option<Prose>,
    /// The fluid, as a part of kind `fluid`.
    pub fluid: Option<Link<Part>>,
    pub reservoir: Option<Link<Part>>,
    pub pumps: Vec<Pump>,
    pub actuators: Vec<Actuator>,
    pub ports: Vec<Port>,
    pub passages: Vec<Passage>,
    pub hoses: Vec<Hose>,
    pub air: Option<AirLimits>,
    pub level: Option<LevelMarks>,
}

/// A pump of the circuit. Reversing the current swaps which port is the pressure side.
#[derive(Debug, Clone)]
pub struct Pump {
    pub id: Located<String>,
    pub part: Link<Part>,
    /// The port under pressure while the command `forward` runs.
    pub forward: Link<Port>,
    /// The port under pressure while the command `reverse` runs; `None` for a hand pump with one outlet.
    pub reverse: Option<Link<Port>>,
    /// What the operator calls the two directions ("LIFT", "LOWER").
    pub forward_says: Option<Located<String>>,
    pub reverse_says: Option<Located<String>>,
    /// What the two directions are to do with every actuator of the circuit.
    pub forward_does: Option<Located<Motion>>,
    pub reverse_does: Option<Located<Motion>>,
    pub flow: Varied<Quantity>,
    pub pressure: Varied<Quantity>,
    pub span: Span,
}

/// Which way a rod goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Motion {
    Extends,
    Retracts,
}

/// A cylinder or motor that the circuit moves.
#[derive(Debug, Clone)]
pub struct Actuator {
    pub id: Located<String>,
    pub part: Link<Part>,
    pub name: Located<String>,
    /// The port on the side that pushes the rod out.
    pub cap: Link<Port>,
    /// The port on the rod side; `None` for single acting.
    pub rod: Option<Link<Port>>,
    pub bore: Varied<Quantity>,
    pub rod_diameter: Varied<Quantity>,
    pub stroke: Varied<Quantity>,
    /// What the load does to it without pressure: pushes it in, pulls it out, or nothing.
    pub load: Option<Located<String>>,
    /// How hard the load presses along the rod.
    pub load_force: Varied<Quantity>,
    /// What it looks like when it extends and when it retracts.
    pub extends_says: Option<Located<String>>,
    pub retracts_says: Option<Located<String>>,
    pub span: Span,
}

/// Where a hose end goes.
#[derive(Debug, Clone)]
pub struct Port {
    pub id: Located<String>,
    pub part: Link<Part>,
    /// What is stamped beside it.
    pub mark: Option<Located<String>>,
    /// The marks of the hoses that belong on it, as the machine says it: said once more than by the rows of the hoses,
    /// so that two rows in each other's place are noticed.
    pub takes: Vec<Located<String>>,
    /// Thread or coupling ("M10x1"); two ends of one fitting fit each other.
    pub fitting: Located<String>,
    pub side: Option<Located<Side>>,
    /// Ports within reach of each other share a place; a hose can only be crossed where it reaches.
    pub reach: Option<Located<String>>,
    pub span: Span,
}

/// What a port is on its part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Side {
    Cap,
    Rod,
    Pressure,
    Return,
    Tank,
}

/// A way through a part, from port to port.
#[derive(Debug, Clone)]
pub struct Passage {
    pub id: Located<String>,
    pub part: Link<Part>,
    pub kind: Located<PassageKind>,
    pub from: Link<Port>,
    pub to: Link<Port>,
    /// The port whose pressure holds it open.
    pub pilot: Option<Link<Port>>,
    pub opens_at: Varied<Quantity>,
    pub span: Span,
}

/// How fluid may pass.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PassageKind {
    Open,
    Check,
    PilotCheck,
    Relief,
    Restrictor,
    HandValve,
}

/// One hydraulic line.
#[derive(Debug, Clone)]
pub struct Hose {
    pub id: Located<String>,
    /// What is written on it.
    pub mark: Located<String>,
    /// Its colour, or the colour of its sleeve, in plain words.
    pub colour: Located<String>,
    pub bore: Varied<Quantity>,
    pub length: Varied<Quantity>,
    /// The fitting on both of its ends.
    pub fitting: Located<String>,
    /// Where its ends go; `hose-end-missing` reports an end left out.
    pub from: Option<Link<Port>>,
    pub to: Option<Link<Port>>,
    /// The other line of the same actuator.
    pub pair: Option<Link<Hose>>,
    pub part: Option<Link<Part>>,
    pub variants: Option<Vec<Link<Variant>>>,
    pub source: Option<Cited>,
    pub span: Span,
}

/// How much air the lines may hold.
#[derive(Debug, Clone)]
pub struct AirLimits {
    pub per_line: Varied<Quantity>,
    pub in_all: Varied<Quantity>,
    /// The reading that measures it.
    pub reading: Option<Link<Reading>>,
    pub span: Span,
}

/// The marks of the reservoir's level, and what lies between them.
#[derive(Debug, Clone)]
pub struct LevelMarks {
    /// The volume from the lower mark to the upper.
    pub between: Varied<Quantity>,
    /// The free surface of the fluid, between the marks.
    pub surface: Varied<Quantity>,
    /// How far the level falls when every rod goes from in to out.
    pub falls: Varied<Quantity>,
    /// Where the rods are when a full reservoir stands at the mark.
    pub upper: Option<Located<Rods>>,
    pub lower: Option<Located<Rods>>,
    /// The reading that takes the level.
    pub reading: Option<Link<Reading>>,
    pub span: Span,
}

/// Where all rods of a circuit are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rods {
    In,
    Out,
}

impl Entry for Circuit {
    const KIND: Kind = Kind::Circuit;

    fn head(&self) -> &Head {
        &self.head
    }

    fn title(&self) -> &str {
        &self.name
    }
}
