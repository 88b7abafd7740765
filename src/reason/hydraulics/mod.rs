//! Hydraulic circuits as networks: what every direction of every pump does on every machine.
//!
//! The solution is quasi-static and exact: pressure rises until the first thing gives. Not modelled: friction, losses in
//! hoses and valves, leakage, the mass that moves, and what mechanical locks hold back.

mod air;
mod bundles;
pub mod crossings;
mod cylinder;
mod exact;
mod facts;
mod flows;
mod levels;
mod net;
mod operate;
mod ram;
mod regions;
mod set;
mod slips;
mod stalls;

pub use air::{AirFacts, Pocket, adiabatic, air, compliance, isothermal};
pub use cylinder::{Sizes, force, speed};
pub use facts::{
    Act, ActuatorDoes, ActuatorFacts, Flow, LevelFacts, MachineHydraulics, Operation, OperationFacts, PortState, Spill,
    Way,
};

pub use slips::{Otherwise, Slip, slips, turned_reliefs};
pub use stalls::{Stall, StallFacts, stalls};

use std::sync::OnceLock;

use super::machines::{Machine, machines};
use crate::model::Guide;
use crossings::Crossings;
use net::Net;

/// The circuits of every machine.
#[derive(Debug, Default)]
pub struct HydraulicFacts {
    pub machines: Vec<MachineHydraulics>,
}

impl HydraulicFacts {
    /// Works out the circuits of every machine.
    pub fn of(guide: &Guide) -> Self {
        Self { machines: machines(guide).into_iter().map(|machine| on_machine(guide, machine)).collect() }
    }

    /// The facts of one machine.
    pub fn on(&self, machine: &Machine) -> Option<&MachineHydraulics> {
        self.machines.iter().find(|facts| facts.machine == *machine)
    }
}

impl MachineHydraulics {
    /// Every crossing of two hose ends; worked out when it is first asked for.
    pub fn crossings(&self, guide: &Guide) -> &Crossings {
        self.crossings.get_or_init(|| crossings::crossings(guide, self))
    }

    /// The facts of one operation.
    pub fn operation(&self, operation: &Operation) -> Option<&OperationFacts> {
        self.operations.iter().find(|facts| facts.operation == *operation)
    }
}

fn on_machine(guide: &Guide, machine: Machine) -> MachineHydraulics {
    let net = Net::of(guide, &machine);
    let operations: Vec<OperationFacts> =
        operations(&net).iter().map(|operation| operate::operate(&net, operation)).collect();
    let otherwise = slips::otherwise_of(&net, &operations);
    MachineHydraulics {
        operations,
        otherwise,
        levels: levels::levels(guide, &net),
        machine,
        crossings: OnceLock::new(),
    }
}

/// Every direction of every pump, and at last all standing.
fn operations(net: &Net) -> Vec<Operation> {
    let ways = |pump: &net::Source| {
        let run = |way| Operation::Run { pump: pump.id.clone(), way };
        let reverse = pump.reverse.map(|_| run(Way::Reverse));
        std::iter::once(run(Way::Forward)).chain(reverse).collect::<Vec<_>>()
    };
    net.pumps.iter().flat_map(ways).chain(std::iter::once(Operation::Standing)).collect()
}

#[cfg(test)]
mod tests;
