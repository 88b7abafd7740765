//! `reading-never-used`

use crate::inspect::{Rule, Subject};
use std::collections::BTreeSet;

use crate::model::Kind;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "reading-never-used";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "readings",
        level: Level::Warning,
        matters: "Limits that no check, step or page leads to are limits nobody compares anything with.",
        page: include_str!("reading-never-used.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let links = subject.guide.index.links.iter().filter(|link| link.to.kind == Kind::Reading);
    let by_others =
        links.filter(|link| link.from.as_ref().is_none_or(|from| from.kind != Kind::Reading || from.id != link.to.id));
    let used: BTreeSet<&str> = by_others.map(|link| link.to.id.as_str()).collect();
    for reading in subject.guide.readings.iter().filter(|reading| !used.contains(reading.head.id.value.as_str())) {
        let wrong = format!("Nothing names the reading `{}`.", reading.head.id.value);
        let remedy = "Name it in the check or step that takes it, or in a text or on the card; or take it out.";
        found.push(Finding::new(NAME, reading.head.id.span, wrong, remedy));
    }
}
