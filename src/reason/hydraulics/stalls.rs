//! Where it stops: what the network says could make a circuit slow, uneven, or unable to hold.

use std::collections::{BTreeMap, BTreeSet};

use super::{MachineHydraulics, Operation};
use crate::model::{Actuator, Circuit, Guide, Id, Link, Part, PassageKind, Port};

/// What is seen where a circuit stops doing its work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Stall {
    /// Everything that one pump drives moves slowly.
    Slow,
    /// One of several that should move together does not.
    OneOnly,
    /// It stands, and sinks or creeps.
    DoesNotHold,
}

/// One thing that is seen, with the parts that could cause it, each once, the likeliest way of the fluid first.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StallFacts {
    pub stall: Stall,
    /// The actuator it is seen at; `None` where all are slow.
    pub actuator: Option<Id<Actuator>>,
    pub suspects: Vec<Id<Part>>,
}

/// The stalls of one circuit on one machine.
pub fn stalls(guide: &Guide, circuit: &Circuit, machine: &MachineHydraulics) -> Vec<StallFacts> {
    let ours = |operation: &&Operation| {
        let Operation::Run { pump, .. } = operation else { return false };
        circuit.pumps.iter().any(|known| known.id.value == pump.as_str())
    };
    let runs: Vec<&Operation> = machine.operations.iter().map(|facts| &facts.operation).filter(ours).collect();
    if runs.is_empty() {
        return Vec::new();
    }
    let mut found = vec![StallFacts { stall: Stall::Slow, actuator: None, suspects: slow(circuit) }];
    let together = circuit.actuators.len() > 1;
    for actuator in &circuit.actuators {
        let id = Id::new(actuator.id.value.as_str());
        if together {
            let suspects = own(circuit, actuator, |_| true);
            found.push(StallFacts { stall: Stall::OneOnly, actuator: Some(id.clone()), suspects });
        }
        let loaded = actuator.load.as_ref().is_some_and(|load| load.value != "none");
        let holds = own(circuit, actuator, |kind| kind != PassageKind::Open);
        if loaded && holds.len() > 1 {
            found.push(StallFacts { stall: Stall::DoesNotHold, actuator: Some(id), suspects: holds });
        }
    }
    let known = |part: &Id<Part>| guide.parts.get(part).is_some();
    found.iter_mut().for_each(|stall| stall.suspects.retain(known));
    found
}

/// The parts on the way of the whole flow: pump, reservoir, and what can let pressure off on the way.
fn slow(circuit: &Circuit) -> Vec<Id<Part>> {
    let pumps = circuit.pumps.iter().map(|pump| &pump.part);
    let relief = circuit.passages.iter().filter(|it| it.kind.value == PassageKind::Relief).map(|it| &it.part);
    let feeds = circuit.hoses.iter().filter(|hose| {
        let ends = [&hose.from, &hose.to].into_iter().flatten();
        ends.into_iter().any(|end| circuit.pumps.iter().any(|pump| is_outlet(pump, end)))
    });
    once(circuit.reservoir.iter().chain(pumps).chain(relief).chain(feeds.filter_map(|hose| hose.part.as_ref())))
}

fn is_outlet(pump: &crate::model::Pump, port: &Link<Port>) -> bool {
    pump.forward.value == port.value || pump.reverse.as_ref().is_some_and(|reverse| reverse.value == port.value)
}

/// An actuator, the hoses at its ports, and the parts whose passages of some kinds end where those hoses lead.
fn own(circuit: &Circuit, actuator: &Actuator, wanted: impl Fn(PassageKind) -> bool) -> Vec<Id<Part>> {
    let mut room: BTreeSet<&str> =
        [Some(&actuator.cap), actuator.rod.as_ref()].into_iter().flatten().map(|it| it.as_str()).collect();
    let mut hoses: BTreeMap<usize, &Link<Part>> = BTreeMap::new();
    for (place, hose) in circuit.hoses.iter().enumerate() {
        let (Some(from), Some(to)) = (&hose.from, &hose.to) else { continue };
        if room.contains(from.as_str()) || room.contains(to.as_str()) {
            room.extend([from.as_str(), to.as_str()]);
            hoses.extend(hose.part.as_ref().map(|part| (place, part)));
        }
    }
    let ends_here = |id: &Link<Port>| room.contains(id.as_str());
    let passages = circuit.passages.iter().filter(|it| ends_here(&it.from) || ends_here(&it.to));
    let passages = passages.filter(|it| wanted(it.kind.value)).map(|it| &it.part);
    once(passages.chain([&actuator.part]).chain(hoses.into_values()))
}

fn once<'p>(parts: impl Iterator<Item = &'p Link<Part>>) -> Vec<Id<Part>> {
    let mut seen = BTreeSet::new();
    parts.filter(|part| seen.insert(part.as_str().to_owned())).map(|part| part.value.clone()).collect()
}
