//! Searching: what is in the guide must be found by the words for it. Judged once the guide is free of errors.

mod page_nobody_can_find;
mod search_term_without_page;

use super::Rule;

/// The family.
pub(super) static RULES: &[&Rule] = &[
    // Each looks at what the pipeline asked `render` for.
    &page_nobody_can_find::RULE,
    &search_term_without_page::RULE,
];
