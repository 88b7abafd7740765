//! `caution-after-the-hazard`

use crate::inspect::{Rule, Subject};
use crate::reason::hazards::Warning;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "caution-after-the-hazard";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "safety",
        level: Level::Error,
        matters: "A caution read afterwards only explains the injury.",
        page: include_str!("caution-after-the-hazard.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for exposure in &subject.facts.exposures {
        let Warning::After(at) = exposure.warning else { continue };
        let wrong = format!(
            "The caution about `{}` stands here, but {} before it is read.",
            exposure.hazard,
            super::told_small(subject, exposure)
        );
        let remedy = format!(
            "Move `{}` to `cautions` of {}, or name it there too.",
            exposure.hazard,
            super::owner(subject, &exposure.site)
        );
        let finding = Finding::new(NAME, at, wrong, remedy).with(exposure.at, "where the hazard is met");
        found.push(super::pointing(subject, finding, exposure));
    }
}
