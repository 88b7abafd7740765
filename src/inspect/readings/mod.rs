//! Readings: their bands cover every value once, in one kind of unit, and are used.

mod act_band_without_remedy;
mod band_without_answer;
mod bands;
mod bands_leave_gap;
mod bands_overlap;
mod empty_band;
mod reading_never_used;
mod unit_mismatch;

use super::Rule;

/// The family.
pub(super) static RULES: &[&Rule] = &[
    &bands_overlap::RULE,
    &bands_leave_gap::RULE,
    &empty_band::RULE,
    &unit_mismatch::RULE,
    &reading_never_used::RULE,
    &band_without_answer::RULE,
    &act_band_without_remedy::RULE,
];
