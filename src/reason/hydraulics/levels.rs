//! How a reservoir's level follows the rods.

use std::collections::BTreeMap;

use super::exact::{add, div, zero};
use super::facts::LevelFacts;
use super::net::Net;
use crate::model::quantity::Quantity;
use crate::model::{Circuit, Guide, Id, Varied};
use crate::reason::{Machine, holds, value_on};

/// Every circuit of a machine that moves a rod.
pub(super) fn levels(guide: &Guide, net: &Net) -> Vec<LevelFacts> {
    let on_it = |circuit: &&Circuit| holds(circuit.head.applies_to.as_deref(), &net.machine);
    guide
        .circuits
        .iter()
        .filter(on_it)
        .filter(|circuit| !circuit.actuators.is_empty())
        .map(|it| level(net, it))
        .collect()
}

fn level(net: &Net, circuit: &Circuit) -> LevelFacts {
    let name = Id::new(circuit.head.id.value.as_str());
    let of_circuit: Vec<_> = net.rams.iter().filter(|ram| ram.circuit == name).collect();
    let rods: BTreeMap<_, _> =
        of_circuit.iter().filter_map(|ram| Some((ram.id.clone(), ram.sizes?.rod_volume(ram.stroke?)?))).collect();
    let all = (rods.len() == of_circuit.len()).then(|| rods.values().copied().try_fold(zero(), add)).flatten();
    let marks = circuit.level.as_ref();
    let written = |values: Option<&Varied<Quantity>>| values.and_then(|values| base(values, &net.machine));
    let surface = written(marks.map(|marks| &marks.surface));
    LevelFacts {
        circuit: name,
        reservoir: circuit.reservoir.as_ref().map(|part| part.value.clone()),
        between_marks: written(marks.map(|marks| &marks.between)),
        falls: all.zip(surface).and_then(|(all, surface)| div(all, surface)),
        rods,
        all,
    }
}

fn base(values: &Varied<Quantity>, machine: &Machine) -> Option<crate::model::quantity::Exact> {
    value_on(values, machine).map(|value| value.value.value.base())
}
