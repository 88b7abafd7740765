//! What stands in the drawing of a circuit, with its place in user units.

use std::collections::BTreeSet;

use crate::model::{Hose, Passage, Port};

/// A cylinder: its place among the circuit's actuators and the columns of its ports.
pub(super) struct Ram {
    pub(super) actuator: usize,
    pub(super) cap: i32,
    pub(super) rod: Option<i32>,
    pub(super) room: i32,
}

/// A part that holds passages.
pub(super) struct Block<'c> {
    pub(super) part: &'c str,
    pub(super) left: i32,
    pub(super) right: i32,
}

/// A part of the lowest row.
pub(super) struct Base<'c> {
    pub(super) part: &'c str,
    pub(super) ports: Vec<(&'c Port, i32)>,
    pub(super) left: i32,
    pub(super) right: i32,
}

/// One passage on its lane.
pub(super) struct Lane<'c> {
    pub(super) passage: &'c Passage,
    /// Its number in the table.
    pub(super) number: usize,
    pub(super) x: i32,
    /// The column of the upper port it comes from; `None` between two rails.
    pub(super) port: Option<i32>,
    /// True where `to` of the passage is the upper end.
    pub(super) upwards: bool,
    /// The rail of its lower end, and of the upper end where that has no column.
    pub(super) rail: i32,
    pub(super) other_rail: Option<i32>,
    /// The rail of its pilot.
    pub(super) pilot: Option<i32>,
}

/// A lower port's rail.
pub(super) struct Rail {
    pub(super) y: i32,
    /// The column of its port; it runs down to the edge of the block, or up where the port stands above.
    pub(super) column: i32,
    pub(super) above: bool,
    pub(super) joints: BTreeSet<i32>,
}

/// Hoses with the same two ends (one for each group of machines), as one line.
pub(super) struct Line<'c> {
    pub(super) hoses: Vec<&'c Hose>,
    pub(super) way: Vec<(i32, i32)>,
    pub(super) label: (i32, i32),
}
