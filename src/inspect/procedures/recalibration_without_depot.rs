//! `recalibration-without-depot`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "recalibration-without-depot";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "procedures",
        level: Level::Error,
        matters: "The tag sends the machine away and does not say where.",
        page: include_str!("recalibration-without-depot.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for tag in subject.guide.procedures.iter().flat_map(|procedure| &procedure.recalibration) {
        if tag.need.value != crate::model::Need::None && tag.by.is_empty() {
            let wrong = format!("Recalibration is {}, and no depot is named.", super::need_word(tag.need.value));
            let remedy = "Add `by = [\"…\"]` with the depots of guide.toml that may do it.";
            found.push(Finding::new(NAME, tag.need.span, wrong, remedy));
        }
    }
}
