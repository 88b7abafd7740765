//! The machines a circuit is for, and which of them a thing holds for, in words.

use std::collections::BTreeSet;

use crate::model::Circuit;
use crate::reason::hydraulics::MachineHydraulics;
use crate::reason::{Machine, machines_of};
use crate::render::place::Place;

/// Machines by their number here.
pub(super) type Few = BTreeSet<usize>;

/// The machines of a circuit that were worked out.
pub(super) struct OnMachines<'g> {
    place: Place<'g>,
    pub(super) all: Vec<&'g MachineHydraulics>,
}

impl<'g> OnMachines<'g> {
    pub(super) fn of(place: Place<'g>, circuit: &Circuit) -> Self {
        let machines = machines_of(place.guide, &circuit.head);
        let all = machines.iter().filter_map(|machine| place.facts.hydraulics.on(machine)).collect();
        Self { place, all }
    }

    /// The names of some machines; empty where they are all.
    pub(super) fn named(&self, some: &Few) -> String {
        if some.len() == self.all.len() {
            return String::new();
        }
        let names = some.iter().filter_map(|at| self.all.get(*at)).map(|facts| self.name(&facts.machine));
        names.collect::<Vec<_>>().join(", ")
    }

    fn name(&self, machine: &Machine) -> String {
        let variant = machine.as_ref().and_then(|variant| self.place.guide.variants.get(variant));
        variant.map_or(String::new(), |variant| variant.name.value.clone())
    }

    /// What several machines say, each thing once with the machines that say it, in the order met.
    pub(super) fn gathered<T: PartialEq>(&self, of: impl Fn(&'g MachineHydraulics) -> Vec<T>) -> Vec<(T, String)> {
        let mut found: Vec<(T, Few)> = Vec::new();
        for (at, facts) in self.all.iter().enumerate() {
            for said in of(facts) {
                match found.iter_mut().find(|(known, _)| *known == said) {
                    Some((_, some)) => {
                        some.insert(at);
                    }
                    None => found.push((said, Few::from([at]))),
                }
            }
        }
        found.into_iter().map(|(said, some)| (said, self.named(&some))).collect()
    }
}
