//! Wiring paths from supply to ground.

use super::quantity::Quantity;
use super::{Entry, Head, Kind, Link, Part, Prose, Varied};
use crate::text::{Located, Span};

/// One path: supply to load to ground.
#[derive(Debug, Clone)]
pub struct WiringPath {
    pub head: Head,
    pub name: Located<String>,
    pub says: Option<Prose>,
    pub supply: Varied<Quantity>,
    /// Current of the load while it runs.
    pub load_current: Varied<Quantity>,
    /// Greatest voltage lost on the way, load apart.
    pub drop_budget: Varied<Quantity>,
    /// From the supply to ground, in order.
    pub nodes: Vec<Node>,
    pub test_points: Vec<TestPoint>,
}

/// One thing the current passes.
#[derive(Debug, Clone)]
pub struct Node {
    pub id: Located<String>,
    pub kind: Located<NodeKind>,
    pub says: Option<Located<String>>,
    pub part: Option<Link<Part>>,
    /// Fuse rating.
    pub rating: Varied<Quantity>,
    /// Cross-section of a wire.
    pub size: Varied<Quantity>,
    pub length: Varied<Quantity>,
    /// Colour code after IEC 60757 (from memory), such as `BN/WH`.
    pub colour: Option<Located<String>>,
    /// When a switch is closed, in words.
    pub closed_when: Option<Located<String>>,
    pub span: Span,
}

/// What a node is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum NodeKind {
    Supply,
    Fuse,
    Wire,
    Connector,
    Splice,
    Switch,
    Relay,
    Load,
    Ground,
}

/// Where a meter can be held.
#[derive(Debug, Clone)]
pub struct TestPoint {
    pub id: Located<String>,
    /// The node it lies just after, seen from the supply.
    pub after: Link<Node>,
    /// Where to put the probe.
    pub says: Located<String>,
    pub expect: Varied<Quantity>,
    pub span: Span,
}

impl Entry for WiringPath {
    const KIND: Kind = Kind::WiringPath;

    fn head(&self) -> &Head {
        &self.head
    }

    fn title(&self) -> &str {
        &self.name
    }
}
