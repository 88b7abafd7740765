//! All rules, family by family.

use std::sync::LazyLock;

use super::{
    Rule, card, faults, form, hoses, hydraulics, procedures, readings, references, safety, search, sequences, wiring,
    writing,
};

static FAMILIES: [&[&Rule]; 13] = [
    form::RULES,
    references::RULES,
    faults::RULES,
    procedures::RULES,
    safety::RULES,
    hoses::RULES,
    hydraulics::RULES,
    sequences::RULES,
    wiring::RULES,
    readings::RULES,
    card::RULES,
    writing::RULES,
    search::RULES,
];

static CATALOGUE: LazyLock<Vec<&'static Rule>> = LazyLock::new(|| FAMILIES.into_iter().flatten().copied().collect());

/// Every rule, in the order of the families.
pub fn all() -> &'static [&'static Rule] {
    &CATALOGUE
}

/// The rule with this name.
pub fn named(name: &str) -> Option<&'static Rule> {
    all().iter().copied().find(|rule| rule.info.name == name)
}
