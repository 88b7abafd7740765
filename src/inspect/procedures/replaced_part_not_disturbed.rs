//! `replaced-part-not-disturbed`

use crate::inspect::{Rule, Subject};
use crate::reason::recalibration::is_supply;
use crate::reason::repairs::disturbed;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "replaced-part-not-disturbed";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "procedures",
        level: Level::Error,
        matters: "Whoever replaces a part disturbs it; where that is not said, no rule can guard what follows from it.",
        page: include_str!("replaced-part-not-disturbed.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for procedure in &subject.guide.procedures {
        for link in procedure.consumables.iter().filter_map(|consumable| consumable.part.as_ref()) {
            let Some(part) = subject.guide.parts.get(link) else { continue };
            if is_supply(part.kind.value) || disturbed(procedure).any(|named| named.value == link.value) {
                continue;
            }
            let wrong = format!(
                "`{}` uses up a new `{}` and does not say that it disturbs the old one.",
                procedure.head.id.value, link.value
            );
            let remedy =
                format!("Add `{}` to `disturbs` of the procedure, or of the step that replaces it.", link.value);
            found.push(Finding::new(NAME, link.span, wrong, remedy));
        }
    }
}
