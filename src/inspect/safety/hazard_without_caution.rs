//! `hazard-without-caution`

use crate::inspect::{Rule, Subject};
use crate::reason::hazards::Warning;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "hazard-without-caution";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "safety",
        level: Level::Error,
        matters: "Somebody will put a hand there who was never told what waits for it.",
        page: include_str!("hazard-without-caution.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for exposure in subject.facts.exposures.iter().filter(|it| it.warning == Warning::Never) {
        let wrong = format!(
            "{}, which brings out the hazard `{}`, and no caution about it stands before that.",
            super::told(subject, exposure),
            exposure.hazard
        );
        let remedy = format!("Add `{}` to `cautions` of {}.", exposure.hazard, super::owner(subject, &exposure.site));
        found.push(super::pointing(subject, Finding::new(NAME, exposure.at, wrong, remedy), exposure));
    }
}
