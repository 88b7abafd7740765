//! `recalibration-without-reason`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "recalibration-without-reason";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "procedures",
        level: Level::Error,
        matters: "A tag without a reason is the first one that somebody in a hurry ignores.",
        page: include_str!("recalibration-without-reason.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for procedure in &subject.guide.procedures {
        for tag in procedure.recalibration.iter().filter(|tag| tag.because.is_none()) {
            let wrong = format!(
                "The tag of `{}` says {} and does not say why.",
                procedure.head.id.value,
                super::need_word(tag.need.value)
            );
            let remedy = "Add `because = \"…\"`: what the control unit loses, or why it loses nothing.";
            found.push(Finding::new(NAME, tag.need.span, wrong, remedy));
        }
    }
}
