//! What a pocket of air at the limit costs.

use super::figures::amount;
use super::on_machines::OnMachines;
use crate::model::Circuit;
use crate::model::quantity::Exact;
use crate::reason::hydraulics::{MachineHydraulics, Pocket, air};
use crate::render::place::Place;
use crate::render::views::hoses as view;

/// One row a hose that leads to a cylinder, of every machine that states its sizes.
pub(super) fn pockets(place: Place<'_>, circuit: &Circuit) -> Vec<view::Pocket> {
    let of = |machine: &MachineHydraulics| {
        let facts = air(place.guide, &place.facts.hoses, circuit, &machine.machine);
        let pockets = facts.iter().flat_map(|facts| &facts.pockets);
        pockets.filter_map(|pocket| row(place, circuit, pocket)).collect::<Vec<_>>()
    };
    let gathered = OnMachines::of(place, circuit).gathered(of);
    let mut rows: Vec<view::Pocket> = gathered.into_iter().map(|(row, on)| view::Pocket { on, ..row }).collect();
    let at = |mark: &str| circuit.hoses.iter().position(|hose| hose.mark.as_str() == mark);
    rows.sort_by_key(|row| at(&row.mark));
    rows
}

fn row(place: Place<'_>, circuit: &Circuit, pocket: &Pocket) -> Option<view::Pocket> {
    let hose = circuit.hoses.iter().find(|hose| hose.id.value == pocket.hose.as_str())?;
    let stroke = |metres: Exact| amount(metres * Exact::from_integer(1000), "mm", 1);
    let millilitres = amount(pocket.volume * Exact::from_integer(1_000_000), "mL", 1)?;
    Some(view::Pocket {
        mark: hose.mark.value.clone(),
        on: String::new(),
        volume: millilitres.written(),
        at_once: place.shown(&stroke(pocket.at_once)?),
        settled: place.shown(&stroke(pocket.settled)?),
    })
}
