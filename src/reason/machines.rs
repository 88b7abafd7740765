//! Which machines an entry, a row or a value is for.

use crate::model::{Guide, Head, Id, Link, Sourced, Variant, Varied, applies};

/// A variant of the machine; `None` where the guide declares no variants and so speaks of one machine.
pub type Machine = Option<Id<Variant>>;

/// Every machine the guide is for, in the order of their ids.
pub fn machines(guide: &Guide) -> Vec<Machine> {
    if guide.variants.is_empty() {
        return vec![None];
    }
    guide.variants.iter().map(|variant| Some(Id::new(variant.head.id.value.as_str()))).collect()
}

/// The machines an entry is for.
pub fn machines_of(guide: &Guide, head: &Head) -> Vec<Machine> {
    machines(guide).into_iter().filter(|machine| is_for(head, machine)).collect()
}

/// True where a list of variants (`None` means every one) holds for a machine.
pub fn holds(variants: Option<&[Link<Variant>]>, machine: &Machine) -> bool {
    machine.as_ref().is_none_or(|variant| applies(variants, variant))
}

/// True where an entry is for a machine.
pub fn is_for(head: &Head, machine: &Machine) -> bool {
    holds(head.applies_to.as_deref(), machine)
}

/// The record of a value that holds for a machine.
pub fn value_on<'v, T>(values: &'v Varied<T>, machine: &Machine) -> Option<&'v Sourced<T>> {
    values.iter().find(|value| holds(value.variants.as_deref(), machine))
}
