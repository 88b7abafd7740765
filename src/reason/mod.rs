//! What the compiler works out from a guide. Facts only: nothing here words a message.

pub mod calls;
pub mod circles;
mod conductors;
mod coverage;
pub mod fault_plans;
pub mod faults;
mod findable;
mod fluids;
pub mod hazards;
mod hoses;
pub mod hydraulics;
mod interventions;
pub mod likelihood;
mod machines;
mod mentions;
pub mod plan;
pub mod problem_of;
pub mod proof;
pub mod readings;
pub mod recalibration;
pub mod records;
pub mod repairs;
mod rows;
pub mod sequences;
pub mod walk;
mod wiring;

use std::collections::BTreeMap;

pub use conductors::{Conductor, conductor};
pub use coverage::Coverage;
pub use fault_plans::{FaultPlan, FaultPlans};
pub use findable::Findable;
pub use fluids::Wet;
pub use hoses::{Chamber, End, HoseEnd, HoseFacts, MachineHoses, Served};
pub use machines::{Machine, holds, is_for, machines, machines_of, value_on};
pub use mentions::Mentions;
pub use rows::{Rows, by_id};
pub use sequences::{SequenceFacts, Simulation, Stand, Standing, StepFacts, Suspect, Unmet};
pub use wiring::{PathFacts, PointFacts, WireFacts, WiringFacts};

use crate::model::{Fault, Guide, Id};
use faults::FaultFacts;
use hazards::Exposure;
use hydraulics::HydraulicFacts;
use recalibration::Reach;
use records::Records;
use repairs::Repairs;

/// Everything worked out from a guide.
#[derive(Debug, Default)]
pub struct Facts {
    /// Who mentions what.
    pub mentions: Mentions,
    /// The best order of checks of every fault.
    pub plans: FaultPlans,
    /// What job records say of the likelihoods.
    pub records: Records,
    /// Which procedures are repairs.
    pub repairs: Repairs,
    /// Which parts hold fluid.
    pub wet: Wet,
    /// What each procedure means for the control unit.
    pub recalibration: Reach,
    /// Every hazard a person meets, place by place.
    pub exposures: Vec<Exposure>,
    /// What the checks of each fault are worth.
    pub faults: BTreeMap<Id<Fault>, FaultFacts>,
    /// Hoses as a graph, machine by machine.
    pub hoses: HoseFacts,
    /// Hydraulic circuits, solved machine by machine.
    pub hydraulics: HydraulicFacts,
    /// Powered operations, walked step by step.
    pub sequences: SequenceFacts,
    /// Which parts a fault covers.
    pub coverage: Coverage,
    /// What wires lose and bear, machine by machine.
    pub wiring: WiringFacts,
}

/// Fills in what the writer left to the compiler: checks that come from crossed hoses.
pub fn expand(guide: &mut Guide) {
    hydraulics::crossings::expand(guide);
}

/// Works out all facts.
pub fn facts(guide: &Guide) -> Facts {
    let repairs = Repairs::of(guide);
    let wet = Wet::of(guide);
    let recalibration = Reach::of(guide);
    let counts = records::Counts::of(guide);
    Facts {
        mentions: Mentions::of(guide),
        plans: FaultPlans::of(guide, &counts),
        records: Records::of(guide, &counts),
        exposures: hazards::exposures(guide, &wet, &repairs),
        faults: faults::of_all(guide, &recalibration),
        hoses: HoseFacts::of(guide),
        hydraulics: HydraulicFacts::of(guide),
        sequences: SequenceFacts::of(guide),
        coverage: Coverage::of(guide),
        repairs,
        wet,
        recalibration,
        wiring: WiringFacts::of(guide),
    }
}

#[cfg(test)]
mod tests;
