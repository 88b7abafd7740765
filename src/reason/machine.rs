//! The machines a thing holds for: one variant after the other.

use crate::model::{Guide, Head, Id, Link, Variant, applies};

/// One variant; `None` stands for every machine of a guide that names no variants.
pub type Machine = Option<Id<Variant>>;

/// The machines of a guide, in the order of their ids; never empty.
pub fn machines(guide: &Guide) -> Vec<Machine> {
    let named: Vec<Machine> =
        guide.variants.iter().map(|variant| Some(Id::new(variant.head.id.value.as_str()))).collect();
    if named.is_empty() { vec![None] } else { named }
}

/// True where a list of variants (`None`: all of them) holds for the machine.
pub fn holds(variants: Option<&[Link<Variant>]>, machine: &Machine) -> bool {
    machine.as_ref().is_none_or(|variant| applies(variants, variant))
}

/// True where an entry holds for the machine.
pub fn is_for(head: &Head, machine: &Machine) -> bool {
    holds(head.applies_to.as_deref(), machine)
}
