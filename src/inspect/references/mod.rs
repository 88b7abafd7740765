//! References: what names something else must name something that is there and holds.

mod applies_to_nothing;
mod bulletin_not_applied;
mod date_out_of_order;
mod missing_picture;
mod picture_without_description;
mod serial_of_another_variant;
mod serials;
mod serials_overlap;
mod two_pages_same_title;
mod value_without_source;
mod variant_covered_twice;
mod variant_not_covered;

use super::Rule;
use crate::report::{Level, RuleInfo};

macro_rules! found_while_reading {
    ($name:literal, $matters:literal) => {
        &Rule {
            info: RuleInfo {
                name: $name,
                family: "references",
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
    found_while_reading!("unknown-id", "The technician would be sent to something that is not in the guide."),
    found_while_reading!(
        "duplicate-id",
        "Two entries with one id: only one of them can be on the page, and nobody knows which was meant."
    ),
    found_while_reading!("dead-link", "A finger on a link that leads nowhere is a minute lost beside an open machine."),
    found_while_reading!(
        "picture-not-readable",
        "A broken picture is an empty box just where the step says: as shown."
    ),
    found_while_reading!(
        "picture-with-script",
        "No page of a guide may run or load what the shop did not ship; a picture opened by itself could."
    ),
    &missing_picture::RULE,
    &picture_without_description::RULE,
    &applies_to_nothing::RULE,
    &variant_not_covered::RULE,
    &variant_covered_twice::RULE,
    &value_without_source::RULE,
    &bulletin_not_applied::RULE,
    &serials_overlap::RULE,
    &serial_of_another_variant::RULE,
    &two_pages_same_title::RULE,
    &date_out_of_order::RULE,
];
