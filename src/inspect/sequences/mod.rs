//! Powered operations: every step can start, everything comes back, every stop has a fault.

mod part_not_covered_by_any_fault;
mod sequence_does_not_return;
mod signal_never_set;
mod step_ends_at_once;
mod step_never_ready;
mod unknown_signal_value;

use super::Rule;

/// The family.
pub(super) static RULES: &[&Rule] = &[
    &unknown_signal_value::RULE,
    &signal_never_set::RULE,
    &step_never_ready::RULE,
    &step_ends_at_once::RULE,
    &sequence_does_not_return::RULE,
    &part_not_covered_by_any_fault::RULE,
];
