//! Hydraulic circuits as they are solved: what the tables say against what fluid would do.

mod crossing_does_not_fit;
mod direction_does_otherwise;
mod level_marks_disagree;
mod load_not_held;
mod passage_cannot_work;
mod pressure_without_relief;
mod rod_fills_bore;
mod rows;
mod size_in_shape;
mod size_out_of_scale;
mod suspect_without_fault;
mod travel_told_the_wrong_way;

use super::Rule;

/// The family.
pub(super) static RULES: &[&Rule] = &[
    &direction_does_otherwise::RULE,
    &load_not_held::RULE,
    &pressure_without_relief::RULE,
    &level_marks_disagree::RULE,
    &rod_fills_bore::RULE,
    &passage_cannot_work::RULE,
    &crossing_does_not_fit::RULE,
    &suspect_without_fault::RULE,
    &size_out_of_scale::RULE,
    &travel_told_the_wrong_way::RULE,
];
