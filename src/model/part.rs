//! Parts of the machine.

use super::quantity::Quantity;
use super::{Cited, Depot, Entry, Hazard, Head, Kind, Link, Need, Prose, Variant, Varied};
use crate::text::{Located, Span};

/// A component of the machine.
#[derive(Debug, Clone)]
pub struct Part {
    pub head: Head,
    pub name: Located<String>,
    pub kind: Located<PartKind>,
    /// Where to find it on the machine.
    pub location: Located<String>,
    /// What is stamped or printed on it, if anything tells it apart.
    pub mark: Option<Located<String>>,
    pub number: Option<Located<String>>,
    /// Part numbers, or ids of parts, that this one replaces.
    pub supersedes: Vec<Located<String>>,
    /// Seals that are used once: new ones each time the part is opened.
    pub single_use_seals: Vec<Link<Part>>,
    pub picture: Option<Picture>,
    /// Look-alikes that must not be swapped with it.
    pub not_interchangeable_with: Vec<LookAlike>,
    /// Whether the control unit must be recalibrated after the part was disturbed.
    pub recalibrate_if_disturbed: Vec<RecalibrationNeed>,
    pub hazards: Vec<PartHazard>,
    /// What the part holds up, holds shut or holds back.
    pub load: Option<Load>,
    pub fluid: Option<Fluid>,
    /// Tightening torque.
    pub torque: Varied<Quantity>,
    /// Further values: fuse ratings, resistances, settings.
    pub specs: Vec<Spec>,
    /// True where replacing it costs enough to want proof first.
    pub costly: bool,
    /// How it works, what to know.
    pub says: Option<Prose>,
}

/// What a part is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum PartKind {
    PumpUnit,
    HandPump,
    Cylinder,
    Hose,
    ValveBlock,
    Valve,
    Reservoir,
    ControlUnit,
    Switch,
    Sensor,
    Relay,
    Motor,
    Latch,
    Fuse,
    Connector,
    Cable,
    Battery,
    Structure,
    Seal,
    Fluid,
    Other,
}

/// A picture in `media/` and what it shows.
#[derive(Debug, Clone)]
pub struct Picture {
    pub file: Located<String>,
    /// The description; `picture-without-description` reports a missing one.
    pub says: Option<Located<String>>,
}

/// A part that looks alike and must not be swapped.
#[derive(Debug, Clone)]
pub struct LookAlike {
    pub part: Link<Part>,
    pub because: Option<Located<String>>,
}

/// What disturbing a part means for the control unit.
#[derive(Debug, Clone)]
pub struct RecalibrationNeed {
    pub need: Located<Need>,
    /// The condition, where the need is conditional.
    pub when: Option<Located<String>>,
    pub because: Located<String>,
    pub by: Vec<Link<Depot>>,
    pub source: Option<Cited>,
    pub variants: Option<Vec<Link<Variant>>>,
    pub span: Span,
}

/// How a person meets a hazard of a part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Contact {
    Opened,
    Moved,
    Disturbed,
}

/// A hazard of a part, and what brings it out.
#[derive(Debug, Clone)]
pub struct PartHazard {
    pub when: Located<Contact>,
    pub hazard: Link<Hazard>,
}

/// What a part carries: opening or disturbing it lets the load go.
#[derive(Debug, Clone)]
pub struct Load {
    pub says: Located<String>,
    pub mass: Varied<Quantity>,
    pub hazard: Link<Hazard>,
}

/// The fluid in a part.
#[derive(Debug, Clone)]
pub struct Fluid {
    pub name: Located<String>,
    /// The part (of kind `fluid`) it is, where the guide has one.
    pub part: Option<Link<Part>>,
    pub capacity: Varied<Quantity>,
    pub not_with: Vec<Located<String>>,
    pub source: Option<Cited>,
    pub span: Span,
}

/// A named value of a part.
#[derive(Debug, Clone)]
pub struct Spec {
    pub name: Located<String>,
    pub values: Varied<Quantity>,
}

impl Entry for Part {
    const KIND: Kind = Kind::Part;

    fn head(&self) -> &Head {
        &self.head
    }

    fn title(&self) -> &str {
        &self.name
    }
}
