//! The rows of all hose tables by id, the first that bears it: a crossing may join two circuits.

use std::collections::BTreeMap;

use crate::model::{Actuator, Guide, Hose, Id, Port};

pub(super) struct Rows<'g> {
    hoses: BTreeMap<&'g str, &'g Hose>,
    ports: BTreeMap<&'g str, &'g Port>,
    actuators: BTreeMap<&'g str, &'g Actuator>,
}

impl<'g> Rows<'g> {
    pub(super) fn of(guide: &'g Guide) -> Self {
        let circuits = || guide.circuits.iter();
        Self {
            hoses: by_id(circuits().flat_map(|circuit| &circuit.hoses).map(|it| (it.id.value.as_str(), it))),
            ports: by_id(circuits().flat_map(|circuit| &circuit.ports).map(|it| (it.id.value.as_str(), it))),
            actuators: by_id(circuits().flat_map(|circuit| &circuit.actuators).map(|it| (it.id.value.as_str(), it))),
        }
    }

    pub(super) fn hose(&self, id: &str) -> Option<&'g Hose> {
        self.hoses.get(id).copied()
    }

    pub(super) fn port(&self, id: &str) -> Option<&'g Port> {
        self.ports.get(id).copied()
    }

    pub(super) fn actuator(&self, id: &Id<Actuator>) -> Option<&'g Actuator> {
        self.actuators.get(id.as_str()).copied()
    }
}

fn by_id<'g, T>(all: impl Iterator<Item = (&'g str, &'g T)>) -> BTreeMap<&'g str, &'g T> {
    let mut rows = BTreeMap::new();
    for (id, row) in all {
        rows.entry(id).or_insert(row);
    }
    rows
}
