//! How a hose is drawn: in its own colour, with its own rings, and with a dash pattern along its middle.
//!
//! The pattern belongs to the hose's rank among hoses of the same colour, so that it is the same in every drawing and
//! table of a circuit. It runs along the hose and never across it: what runs across is a ring, and those are real.

use crate::model::Circuit;
use crate::render::colours;

/// How one hose is drawn.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(in crate::render) struct Mark {
    pub(in crate::render) fill: String,
    /// Paint of what is drawn along it.
    pub(in crate::render) over: String,
    /// Dash pattern along its middle; empty for none.
    pub(in crate::render) dash: &'static str,
    /// The rings that are on the hose, and their paint.
    pub(in crate::render) rings: u32,
    pub(in crate::render) ring: String,
}

/// Patterns by rank: none, long, long and dot, long and two dots, dots, and so on.
const DASHES: [&str; 8] = ["", "22 7", "18 5 3 5", "18 5 3 5 3 5", "3 6", "9 6", "30 4", "9 4 3 4"];

/// The mark of each hose of a circuit, row by row.
pub(in crate::render) fn of(circuit: &Circuit) -> Vec<Mark> {
    let paints: Vec<(String, String)> = circuit.hoses.iter().map(|hose| colours::paint(&hose.colour)).collect();
    let rank = |at: usize| paints.iter().take(at).filter(|paint| paint.0 == paints[at].0).count();
    let mark = |(at, hose): (usize, &crate::model::Hose)| {
        let (rings, ring) = colours::rings(&hose.colour);
        let (fill, over) = paints[at].clone();
        Mark { fill, over, dash: DASHES.get(rank(at) % DASHES.len()).copied().unwrap_or(""), rings, ring }
    };
    circuit.hoses.iter().enumerate().map(mark).collect()
}
