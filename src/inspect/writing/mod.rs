//! Writing: one word for one thing, short sentences, one action a step, nothing stale.

mod actions;
mod avoided_term;
mod entry_past_review;
mod sentence_too_long;
mod two_actions_in_one_step;
mod wordlist;

use super::Rule;
use crate::report::{Level, RuleInfo};

/// Found by the sink, while findings are softened.
static UNUSED_SOFTENING: Rule = Rule {
    info: RuleInfo {
        name: "unused-softening",
        family: "writing",
        level: Level::Warning,
        matters: "A softening without work hides the next finding that somebody should have seen.",
        page: include_str!("unused-softening.md"),
        softenable: false,
    },
    check: None,
};

/// The family.
pub(super) static RULES: &[&Rule] = &[
    &avoided_term::RULE,
    &sentence_too_long::RULE,
    &two_actions_in_one_step::RULE,
    &entry_past_review::RULE,
    &UNUSED_SOFTENING,
];
