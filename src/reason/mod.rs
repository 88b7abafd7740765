//! What the compiler works out from a guide. Facts only: nothing here words a message.

pub mod likelihood;
mod mentions;
pub mod plan;
pub mod walk;

pub use mentions::Mentions;

use crate::model::Guide;

/// Everything worked out from a guide.
#[derive(Debug, Default)]
pub struct Facts {
    /// Who mentions what.
    pub mentions: Mentions,
}

/// Works out all facts.
pub fn facts(guide: &Guide) -> Facts {
    Facts { mentions: Mentions::of(guide) }
}
