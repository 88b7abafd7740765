//! Hoses as a graph over ports, pairs, actuators, circuits and variants.

mod circuit_mixed;
mod colour_does_not_tell_apart;
mod fitting_does_not_fit;
mod hose_end_missing;
mod hose_part_of_another_circuit;
mod hose_where_another_belongs;
mod hose_without_pair;
mod hose_without_part;
mod letters_crossed;
mod look_alike_not_declared;
mod mark_used_twice;
mod pair_not_mutual;
mod pair_on_different_actuators;
mod pair_on_one_side;
mod part_of_wrong_kind;
mod port_on_another_part;
mod port_used_twice;
mod port_without_hose;
mod port_without_hose_mark;
mod sides_disagree;
mod table_without_hose_marks;
mod tables_disagree;

use super::Rule;

/// The family.
pub(super) static RULES: &[&Rule] = &[
    &port_used_twice::RULE,
    &hose_end_missing::RULE,
    &pair_not_mutual::RULE,
    &pair_on_different_actuators::RULE,
    &pair_on_one_side::RULE,
    &colour_does_not_tell_apart::RULE,
    &mark_used_twice::RULE,
    &circuit_mixed::RULE,
    &fitting_does_not_fit::RULE,
    &hose_without_pair::RULE,
    &port_without_hose::RULE,
    &tables_disagree::RULE,
    &look_alike_not_declared::RULE,
    &sides_disagree::RULE,
    &port_on_another_part::RULE,
    &part_of_wrong_kind::RULE,
    &hose_where_another_belongs::RULE,
    &letters_crossed::RULE,
    &port_without_hose_mark::RULE,
    &hose_without_part::RULE,
    &hose_part_of_another_circuit::RULE,
    &table_without_hose_marks::RULE,
];
