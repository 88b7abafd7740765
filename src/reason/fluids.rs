//! Which parts hold fluid: opening one lets it out, and air in.

use std::collections::BTreeSet;

use crate::model::{Guide, Id, Part, PartKind};

/// The parts that hold fluid: those that say so, those of a hydraulic kind, and those that stand in a hose table.
#[derive(Debug, Default)]
pub struct Wet {
    parts: BTreeSet<Id<Part>>,
}

impl Wet {
    /// Finds them.
    pub fn of(guide: &Guide) -> Self {
        let own = guide.parts.iter().filter(|part| part.fluid.is_some() || is_hydraulic(part.kind.value));
        let own = own.map(|part| Id::new(part.head.id.value.as_str()));
        let tabled = guide.circuits.iter().flat_map(|circuit| {
            let pumps = circuit.pumps.iter().map(|pump| &pump.part);
            let actuators = circuit.actuators.iter().map(|actuator| &actuator.part);
            let ports = circuit.ports.iter().map(|port| &port.part);
            let hoses = circuit.hoses.iter().filter_map(|hose| hose.part.as_ref());
            pumps.chain(actuators).chain(ports).chain(hoses).chain(&circuit.reservoir).map(|link| link.value.clone())
        });
        Self { parts: own.chain(tabled).collect() }
    }

    /// True where the part holds fluid.
    pub fn holds(&self, part: &str) -> bool {
        self.parts.contains(part)
    }
}

fn is_hydraulic(kind: PartKind) -> bool {
    matches!(
        kind,
        PartKind::PumpUnit
            | PartKind::HandPump
            | PartKind::Cylinder
            | PartKind::Hose
            | PartKind::ValveBlock
            | PartKind::Valve
            | PartKind::Reservoir
    )
}
