//! `card-overflows`

use crate::inspect::Rule;
use crate::report::{Finding, Level, RuleInfo};
use crate::text::Span;

const NAME: &str = "card-overflows";

/// Found while the card is laid out, with the type it is printed in.
pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "card",
        level: Level::Error,
        matters: "What is cut off the card is a limit or a caution that the technician believes to be complete.",
        page: include_str!("card-overflows.md"),
        softenable: false,
    },
    check: None,
};

/// The finding for a face that is `over` millimetres short of the room it needs; it has `room`.
pub fn overflow(span: Span, side: u32, over: u32, room: u32) -> Finding {
    let face = if side == 1 { "front" } else { "back" };
    let other = if side == 1 { "side = 2" } else { "side = 1" };
    Finding::new(
        NAME,
        span,
        format!(
            "The {face} of the card needs {over} mm more than the {room} mm it has. This block is the first that reaches over the end."
        ),
        format!(
            "Move a block to `{other}`, shorten a text, name fewer entries, or take a larger `size`. The type is not made smaller."
        ),
    )
}
