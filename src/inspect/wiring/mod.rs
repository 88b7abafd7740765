//! Wiring paths: closed from supply to ground, fused and measurable.

mod drop_over_budget;
mod fuse_over_conductor;
mod fuse_under_load;
mod path_open;
mod path_value_missing;
mod path_without_test_point;

use super::Rule;

/// The family.
pub(super) static RULES: &[&Rule] = &[
    &fuse_over_conductor::RULE,
    &fuse_under_load::RULE,
    &drop_over_budget::RULE,
    &path_without_test_point::RULE,
    &path_open::RULE,
    &path_value_missing::RULE,
];
