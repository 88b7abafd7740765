//! `hazard-of-no-part`

use std::collections::BTreeSet;

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "hazard-of-no-part";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "safety",
        level: Level::Advice,
        matters: "Only of a hazard that a part declares can be worked out who meets it and whether they were warned.",
        page: include_str!("hazard-of-no-part.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let guide = subject.guide;
    let declared = guide.parts.iter().flat_map(|part| {
        let load = part.load.as_ref().map(|load| load.hazard.as_str());
        part.hazards.iter().map(|hazard| hazard.hazard.as_str()).chain(load)
    });
    let declared: BTreeSet<&str> = declared.collect();
    for hazard in guide.hazards.iter().filter(|hazard| !declared.contains(hazard.head.id.value.as_str())) {
        let id = &hazard.head.id;
        let wrong =
            format!("No part brings the hazard `{}` out: it is met only where a caution was thought of.", id.value);
        let remedy = format!(
            "Name it at the part it comes from: `hazards = [{{ when = \"opened\", hazard = \"{}\" }}]`, or in `load`.",
            id.value
        );
        found.push(Finding::new(NAME, id.span, wrong, remedy));
    }
}
