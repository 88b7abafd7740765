//! What a page shows besides its own prose and figures: tools, names of what it works on, colours and marks.
//!
//! Cautions and machine states that half of the pages share are left out: they tell no page from another.

use std::collections::BTreeSet;

use crate::model::{
    AnyEntry, Circuit, Condition, Fault, Guide, Kind, Link, Part, Procedure, Reading, Sequence, Touches, WiringPath,
};

/// The words of an entry's page that stand in no prose of its own, each once, by first letter.
pub(super) fn shown(guide: &Guide, entry: AnyEntry<'_>) -> BTreeSet<String> {
    let id = entry.head.id.value.as_str();
    let shown = match entry.kind {
        Kind::Fault => guide.faults.find(id).map(of_fault),
        Kind::Procedure => guide.procedures.find(id).map(|procedure| of_procedure(guide, procedure)),
        Kind::Reading => guide.readings.find(id).map(|reading| of_reading(guide, reading)),
        Kind::Part => guide.parts.find(id).map(|part| of_part(guide, part)),
        Kind::Circuit => guide.circuits.find(id).map(|circuit| of_circuit(guide, circuit)),
        Kind::WiringPath => guide.wiring.find(id).map(|path| of_path(guide, path)),
        Kind::Sequence => guide.sequences.find(id).map(|sequence| of_sequence(guide, sequence)),
        _ => None,
    };
    shown.unwrap_or_default().into_iter().map(str::to_owned).collect()
}

fn name<'g>(guide: &'g Guide, part: &Link<Part>) -> Option<&'g str> {
    guide.parts.get(&part.value).map(|part| part.name.value.as_str())
}

fn touched<'g>(guide: &'g Guide, touches: &'g Touches) -> impl Iterator<Item = &'g str> {
    touches.all().filter_map(|part| name(guide, part))
}

fn of_fault(fault: &Fault) -> Vec<&str> {
    let accesses = fault.accesses.iter().flat_map(|access| &access.tools);
    let checks = fault.checks.iter().flat_map(|check| &check.tools);
    let crossings = fault.crossings.iter().flat_map(|check| &check.tools);
    accesses.chain(checks).chain(crossings).map(|tool| tool.value.as_str()).collect()
}

fn of_procedure<'g>(guide: &'g Guide, procedure: &'g Procedure) -> Vec<&'g str> {
    let mut words: Vec<&str> = procedure.tools.iter().map(|tool| tool.value.as_str()).collect();
    for consumable in &procedure.consumables {
        words.extend(consumable.name.as_ref().map(|name| name.value.as_str()));
        words.extend(consumable.part.as_ref().and_then(|part| name(guide, part)));
    }
    let steps = procedure.steps.iter().map(|step| &step.touches);
    words.extend(steps.chain([&procedure.touches]).flat_map(|touches| touched(guide, touches)));
    for depot in procedure.recalibration.iter().flat_map(|tag| &tag.by) {
        words.extend(guide.depots.get(&depot.value).map(|depot| depot.name.value.as_str()));
    }
    words.extend(procedure.state.as_ref().and_then(|state| guide.states.get(&state.value)).map(|it| it.name.as_str()));
    words
}

fn of_reading<'g>(guide: &'g Guide, reading: &'g Reading) -> Vec<&'g str> {
    let mut words: Vec<&str> = reading.tools.iter().map(|tool| tool.value.as_str()).collect();
    words.extend(reading.sum.iter().flat_map(|sum| &sum.places).map(|place| place.value.as_str()));
    words.extend(reading.state.as_ref().and_then(|state| guide.states.get(&state.value)).map(|it| it.name.as_str()));
    words
}

fn of_part<'g>(guide: &'g Guide, part: &'g Part) -> Vec<&'g str> {
    let mut words: Vec<&str> = part.specs.iter().map(|spec| spec.name.value.as_str()).collect();
    words.extend(part.single_use_seals.iter().filter_map(|seal| name(guide, seal)));
    if let Some(fluid) = &part.fluid {
        words.push(&fluid.name.value);
        words.extend(fluid.not_with.iter().map(|other| other.value.as_str()));
    }
    words
}

fn of_circuit<'g>(guide: &'g Guide, circuit: &'g Circuit) -> Vec<&'g str> {
    let ports = circuit.ports.iter();
    let mut words: Vec<&str> = ports.clone().map(|port| port.fitting.value.as_str()).collect();
    words.extend(ports.clone().filter_map(|port| port.mark.as_ref()).map(|mark| mark.value.as_str()));
    words.extend(circuit.hoses.iter().flat_map(|hose| [hose.colour.value.as_str(), hose.fitting.value.as_str()]));
    let parts = circuit.pumps.iter().map(|pump| &pump.part).chain(ports.map(|port| &port.part));
    words.extend(parts.chain(&circuit.fluid).chain(&circuit.reservoir).filter_map(|part| name(guide, part)));
    words
}

fn of_path<'g>(guide: &'g Guide, path: &'g WiringPath) -> Vec<&'g str> {
    let parts = path.nodes.iter().filter_map(|node| node.part.as_ref());
    let mut words: Vec<&str> = parts.filter_map(|part| name(guide, part)).collect();
    let nodes = path.nodes.iter().flat_map(|node| [&node.colour, &node.closed_when]);
    words.extend(nodes.flatten().map(|text| text.value.as_str()));
    words
}

fn of_sequence<'g>(guide: &'g Guide, sequence: &'g Sequence) -> Vec<&'g str> {
    let mut words: Vec<&str> =
        sequence.steps.iter().flat_map(|step| &step.drives).filter_map(|part| name(guide, part)).collect();
    let steps = sequence.steps.iter().flat_map(|step| step.needs.iter().chain(&step.sets).chain(&step.ends_on));
    for Condition { signal, value } in sequence.start.iter().chain(steps) {
        words.extend(guide.signals.get(&signal.value).map(|signal| signal.name.value.as_str()));
        words.push(&value.value);
    }
    words
}
