//! Form: what cannot be read. These findings are made while reading; here are their levels, reasons and pages.

use super::Rule;
use crate::report::{Level, RuleInfo};

macro_rules! form_rule {
    ($name:literal, $matters:literal) => {
        &Rule {
            info: RuleInfo {
                name: $name,
                family: "form",
                level: Level::Error,
                matters: $matters,
                page: include_str!(concat!($name, ".md")),
                softenable: false,
            },
            check: None,
        }
    };
}

/// The family.
pub(super) static RULES: &[&Rule] = &[
    form_rule!(
        "missing-guide",
        "Without edition, date and a person to ask, no technician can tell what a page is worth."
    ),
    form_rule!("guide-without-entries", "There is nothing in it to look up."),
    form_rule!(
        "unreadable-file",
        "What cannot be read is missing from the guide, and nobody in the bay will notice the gap."
    ),
    form_rule!(
        "names-differ-in-case",
        "On many computers one of the two files overwrites the other, and its entries are lost."
    ),
    form_rule!("stray-file", "What stands in it would be missing from the guide without anybody noticing."),
    form_rule!(
        "toml-syntax",
        "What follows the slip may be read wrongly or not at all, so no rule can vouch for this file."
    ),
    form_rule!("unknown-key", "What it says is lost: a misspelt `make_safe` is a make-safe that nobody does."),
    form_rule!("wrong-type", "The compiler will not guess what was meant where a limit or a time hangs on it."),
    form_rule!("missing-field", "The page would have a hole just where the technician looks."),
    form_rule!("empty-text", "An empty line on a page looks as if there were nothing to say."),
    form_rule!("unknown-word", "Only the words listed have a meaning on the page."),
    form_rule!("bad-id", "Ids become file names and addresses; other spellings break on some computers."),
    form_rule!("bad-quantity", "A limit whose number or unit is in doubt is worse than none."),
    form_rule!("impossible-value", "Whoever sets or fills by such a figure does damage."),
    form_rule!(
        "bad-table-row",
        "A job that cannot be read does not count, and likelihoods drift from what was really found."
    ),
    form_rule!(
        "raw-html",
        "Pages must look and behave the same everywhere; foreign markup could hide a caution or load something."
    ),
    form_rule!(
        "rule-cannot-be-softened",
        "Some rules guard people, or the guide itself: there is no reason good enough."
    ),
];
