//! `card-code-without-address`

use crate::inspect::{Rule, Subject};
use crate::model::CardTopic;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "card-code-without-address";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "card",
        level: Level::Error,
        matters: "A code leads to an address; without one the card would have a heading with nothing under it.",
        page: include_str!("card-code-without-address.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    if subject.guide.edition.base_address.is_some() {
        return;
    }
    let blocks = subject.guide.card.iter().flat_map(|card| &card.blocks);
    let codes = blocks.filter(|block| block.topic.value == CardTopic::Code);
    found.extend(codes.map(|block| {
        Finding::new(
            NAME,
            block.topic.span,
            "This block prints codes, and the guide has no address that they could lead to.",
            "Write `base_address = \"https://…/\"` in `guide.toml`, where the guide will be found, or take the block out.",
        )
    }));
}
