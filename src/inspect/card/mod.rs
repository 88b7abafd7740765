//! The pocket card: it fits on its sheet, and its codes lead somewhere.

mod card_code_without_address;
mod card_overflows;

pub use card_overflows::overflow;

use super::Rule;

/// The family.
pub(super) static RULES: &[&Rule] = &[&card_overflows::RULE, &card_code_without_address::RULE];
