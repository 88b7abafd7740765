//! What the compiler works out from a guide. Facts only: nothing here words a message.

pub mod fault_plans;
pub mod likelihood;
mod mentions;
pub mod plan;
pub mod problem_of;
pub mod walk;

pub use fault_plans::{FaultPlan, FaultPlans};
pub use mentions::Mentions;

use crate::model::Guide;

/// Everything worked out from a guide.
#[derive(Debug, Default)]
pub struct Facts {
    /// Who mentions what.
    pub mentions: Mentions,
    /// The best order of checks of every fault.
    pub plans: FaultPlans,
}

/// Works out all facts.
pub fn facts(guide: &Guide) -> Facts {
    Facts { mentions: Mentions::of(guide), plans: FaultPlans::of(guide) }
}
