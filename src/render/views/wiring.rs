//! A wiring path: supply to load to ground, with what to measure where.

use super::pieces::{Caution, Figure, Link, Shown, Source};
use serde::Serialize;

#[derive(Clone, Debug, Default, Serialize)]
pub struct Wiring {
    pub intro_html: String,
    pub cautions: Vec<Caution>,
    pub drawing: Option<Figure>,
    /// From the supply to ground, in order.
    pub nodes: Vec<Node>,
    /// Switch states, the columns of the voltage table.
    pub states: Vec<String>,
    pub points: Vec<Point>,
    /// What the calculator of losses needs, as JSON that is safe inside a script element.
    pub block_json: Option<String>,
    pub wires: Vec<Wire>,
    pub fuses: Vec<Fuse>,
    pub faults: Vec<Link>,
    pub sources: Vec<Source>,
}

/// One thing the current passes.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Node {
    pub number: u32,
    pub kind: String,
    pub part: Option<Link>,
    pub says: String,
    /// When a switch is closed.
    pub closed_when: Option<String>,
}

/// A test point; `volts` has one entry for each state.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Point {
    /// Place in the best order of measuring.
    pub order: u32,
    pub mark: String,
    pub place: String,
    pub volts: Vec<String>,
    /// What a wrong value points at.
    pub suspect: Vec<Link>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Wire {
    pub from: String,
    pub to: String,
    /// Colour code after IEC 60757, such as "RD".
    pub code: String,
    pub colour: String,
    pub size: Shown,
    pub length: Shown,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Fuse {
    pub link: Link,
    pub rating: String,
    pub load: String,
    pub source: Option<Source>,
}
