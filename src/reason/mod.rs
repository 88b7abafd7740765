//! What the compiler works out from a guide. Facts only: nothing here words a message.

mod coverage;
pub mod fault_plans;
mod hoses;
pub mod likelihood;
mod machines;
mod mentions;
pub mod plan;
pub mod problem_of;
pub mod walk;

pub use fault_plans::{FaultPlan, FaultPlans};
pub mod sequences;

pub use coverage::Coverage;
pub use hoses::{Chamber, End, HoseEnd, HoseFacts, MachineHoses, Served};
pub use machines::{Machine, holds, machines, machines_of, value_on};
pub use mentions::Mentions;
pub use sequences::{SequenceFacts, Stand, Standing, StepFacts, Suspect, Unmet, Walk};

use crate::model::Guide;

/// Everything worked out from a guide.
#[derive(Debug, Default)]
pub struct Facts {
    /// Who mentions what.
    pub mentions: Mentions,
    /// The best order of checks of every fault.
    pub plans: FaultPlans,
    /// Hoses as a graph, machine by machine.
    pub hoses: HoseFacts,
    /// Powered operations, walked step by step.
    pub sequences: SequenceFacts,
    /// Which parts a fault covers.
    pub coverage: Coverage,
}

/// Works out all facts.
pub fn facts(guide: &Guide) -> Facts {
    Facts {
        mentions: Mentions::of(guide),
        plans: FaultPlans::of(guide),
        hoses: HoseFacts::of(guide),
        sequences: SequenceFacts::of(guide),
        coverage: Coverage::of(guide),
    }
}
