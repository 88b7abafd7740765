//! Rows of all hose tables by id, the first that bears it: a crossing may join two circuits.

use std::collections::BTreeMap;

use crate::model::{Actuator, Circuit, Guide, Hose, Port};
use crate::text::Located;

/// Hoses, ports and actuators by id; hoses and ports with the circuit in whose table they stand.
pub struct Rows<'g> {
    hoses: BTreeMap<&'g str, (&'g Circuit, &'g Hose)>,
    ports: BTreeMap<&'g str, (&'g Circuit, &'g Port)>,
    actuators: BTreeMap<&'g str, &'g Actuator>,
}

impl<'g> Rows<'g> {
    pub fn of(guide: &'g Guide) -> Self {
        let circuits = || guide.circuits.iter();
        let ports = circuits().flat_map(|circuit| circuit.ports.iter().map(move |port| (&port.id, (circuit, port))));
        let hoses = circuits().flat_map(|circuit| circuit.hoses.iter().map(move |hose| (&hose.id, (circuit, hose))));
        Self {
            hoses: by_id(hoses),
            ports: by_id(ports),
            actuators: by_id(circuits().flat_map(|circuit| &circuit.actuators).map(|one| (&one.id, one))),
        }
    }

    pub fn hose(&self, id: &str) -> Option<&'g Hose> {
        self.hose_in_table(id).map(|(_, hose)| hose)
    }

    pub fn port(&self, id: &str) -> Option<&'g Port> {
        self.port_in_table(id).map(|(_, port)| port)
    }

    pub fn actuator(&self, id: &str) -> Option<&'g Actuator> {
        self.actuators.get(id).copied()
    }

    pub fn hose_in_table(&self, id: &str) -> Option<(&'g Circuit, &'g Hose)> {
        self.hoses.get(id).copied()
    }

    pub fn port_in_table(&self, id: &str) -> Option<(&'g Circuit, &'g Port)> {
        self.ports.get(id).copied()
    }
}

/// Rows by id; of several with one id, the first.
pub fn by_id<'g, T>(rows: impl Iterator<Item = (&'g Located<String>, T)>) -> BTreeMap<&'g str, T> {
    let mut map = BTreeMap::new();
    rows.for_each(|(id, row)| {
        map.entry(id.value.as_str()).or_insert(row);
    });
    map
}
