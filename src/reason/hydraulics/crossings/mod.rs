//! Crossed hoses: every two ends that can change places, and what the machine does then.

mod causes;
mod effect;
mod ends;
mod exchange;
mod facts;
mod marking;
mod sight;
mod touched;

pub use facts::{Crossing, Crossings, Difference, Marking, Seen, SeenGroup};
pub use sight::Sight;

pub use causes::can_be_crossed;
pub(in crate::reason) use causes::expand;

use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

use super::MachineHydraulics;
use super::net::Net;
use crate::model::Guide;
use ends::Fitted;
use exchange::Exchanges;

/// More looks at nodes and passages than these are not spent on the crossings of one machine.
const MOST_STEPS: usize = 20_000_000;

/// More crossings than these are not listed for one machine.
const MOST_CROSSINGS: usize = 20_000;

/// Every crossing of one machine.
pub(super) fn crossings(guide: &Guide, facts: &MachineHydraulics) -> Crossings {
    within(guide, facts, MOST_STEPS)
}

/// The crossings that can be worked out in so many steps; the others are counted.
fn within(guide: &Guide, facts: &MachineHydraulics, most: usize) -> Crossings {
    let net = Net::of(guide, &facts.machine);
    let ends = ends::ends(guide, &net);
    let mut exchanges = Exchanges::of(net, facts);
    let (mut all, mut left_out) = (Vec::new(), BTreeMap::new());
    let (mut fitting, mut differing) = (BTreeSet::new(), BTreeSet::new());
    for (one, other) in pairs(&ends) {
        let hoses = [one, other].map(|end| end.end.hose.clone());
        if exchanges.steps >= most || all.len() >= MOST_CROSSINGS {
            let circuits = BTreeSet::from([&one.circuit, &other.circuit]);
            circuits.into_iter().for_each(|circuit| *left_out.entry(circuit.clone()).or_default() += 1);
            // What was not worked out may make a difference.
            differing.insert(hoses.clone());
            fitting.insert(hoses);
            continue;
        }
        let crossing = crossing(one, other, exchanges.differences(one, other));
        if crossing.worst != Seen::NoDifference {
            differing.insert(hoses.clone());
        }
        fitting.insert(hoses);
        all.push(crossing);
    }
    all.sort_by(|one, other| (one.worst, &one.ends).cmp(&(other.worst, &other.ends)));
    let (marking, marking_where_it_matters) = (marking::marking(&fitting), marking::marking(&differing));
    Crossings { all, left_out, marking, marking_where_it_matters }
}

/// The first so many pairs of ends of a network that can change places.
pub(super) fn fitted_ends(guide: &Guide, net: &Net, most: usize) -> Vec<(Fitted, Fitted)> {
    let ends = ends::ends(guide, net);
    pairs(&ends).take(most).map(|(one, other)| (one.clone(), other.clone())).collect()
}

fn pairs(ends: &[Fitted]) -> impl Iterator<Item = (&Fitted, &Fitted)> {
    let later = |index: usize| ends.iter().skip(index + 1);
    let all = ends.iter().enumerate().flat_map(move |(index, one)| later(index).map(move |other| (one, other)));
    all.filter(|(one, other)| one.can_change_with(other))
}

fn crossing(one: &Fitted, other: &Fitted, differences: Arc<Vec<Difference>>) -> Crossing {
    let seen = differences.iter().flat_map(|difference| &difference.seen);
    Crossing {
        ends: [one.end.clone(), other.end.clone()],
        circuits: [one.circuit.clone(), other.circuit.clone()],
        marks_differ: one.mark != other.mark,
        colours_differ: one.colour != other.colour,
        worst: seen.min().copied().unwrap_or(Seen::NoDifference),
        differences,
    }
}

/// The network with two hose ends in each other's place.
pub(super) fn exchanged(net: &Net, one: &Fitted, other: &Fitted) -> Net {
    let mut crossed = net.clone();
    swap(&mut crossed, one, other);
    crossed
}

/// Puts two hose ends in each other's place; once more, and they are back.
pub(super) fn swap(net: &mut Net, one: &Fitted, other: &Fitted) {
    let port = |net: &Net, end: &Fitted| net.lines.get(end.line).and_then(|line| line.ends.get(end.at).copied());
    let (here, there) = (port(net, one), port(net, other));
    for (end, port) in [(one, there), (other, here)] {
        let slot = net.lines.get_mut(end.line).and_then(|line| line.ends.get_mut(end.at));
        if let (Some(slot), Some(port)) = (slot, port) {
            *slot = port;
        }
    }
}

#[cfg(test)]
mod tests;
