//! All rules, family by family.

use std::sync::LazyLock;

use super::{Rule, form, hoses, references, sequences};

static CATALOGUE: LazyLock<Vec<&'static Rule>> = LazyLock::new(|| {
    [form::RULES, references::RULES, hoses::RULES, sequences::RULES].into_iter().flatten().copied().collect()
});

/// Every rule, in the order of the families.
pub fn all() -> &'static [&'static Rule] {
    &CATALOGUE
}

/// The rule with this name.
pub fn named(name: &str) -> Option<&'static Rule> {
    all().iter().copied().find(|rule| rule.info.name == name)
}
