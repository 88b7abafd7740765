//! What a pocket of air at the limit costs.

use super::figures::amount;
use crate::model::Circuit;
use crate::model::quantity::Exact;
use crate::reason::hydraulics::{Pocket, air};
use crate::reason::machines_of;
use crate::render::place::Place;
use crate::render::views::hoses as view;

/// One row a hose that leads to a cylinder, on the first machine that states its sizes.
pub(super) fn pockets(place: Place<'_>, circuit: &Circuit) -> Vec<view::Pocket> {
    let facts = machines_of(place.guide, &circuit.head)
        .into_iter()
        .find_map(|machine| air(place.guide, &place.facts.hoses, circuit, &machine));
    let row = |pocket: &Pocket| {
        let hose = circuit.hoses.iter().find(|hose| hose.id.value == pocket.hose.as_str())?;
        let stroke = |metres: Exact| amount(metres * Exact::from_integer(1000), "mm", 1);
        let millilitres = amount(pocket.volume * Exact::from_integer(1_000_000), "mL", 1)?;
        Some(view::Pocket {
            mark: hose.mark.value.clone(),
            volume: millilitres.written(),
            at_once: place.shown(&stroke(pocket.at_once)?),
            settled: place.shown(&stroke(pocket.settled)?),
        })
    };
    facts.iter().flat_map(|facts| &facts.pockets).filter_map(row).collect()
}
