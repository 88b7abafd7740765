//! `value-without-source`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "value-without-source";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "references",
        level: Level::Error,
        matters: "A figure nobody can trace is opinion, and the foreman will ask who said so.",
        page: include_str!("value-without-source.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for value in subject.guide.index.values.iter().filter(|value| value.source.is_none()) {
        let wrong = format!("This {} names no source.", what(value.role));
        let remedy = format!("{} {}", remedy(value.role), there_are(subject));
        found.push(Finding::new(NAME, value.span, wrong, remedy));
    }
}

/// A single value carries its source in a table of its own, a row beside its other keys.
fn remedy(role: &str) -> String {
    let id = "with the id of a source or a bulletin";
    match role {
        "recalibration" | "recalibrate_if_disturbed" | "band" | "hose" | "spec" | "fluid" => {
            format!("Add `source = \"id, place\"` {id}.")
        }
        key => format!("Write it as `{key} = {{ value = \"…\", source = \"id, place\" }}` {id}."),
    }
}

/// Some of the sources the guide knows.
fn there_are(subject: &Subject<'_>) -> String {
    const SHOWN: usize = 6;
    let mut ids = subject.guide.references.iter().map(|source| source.head.id.value.as_str());
    let shown: Vec<&str> = ids.by_ref().take(SHOWN).collect();
    match (shown.is_empty(), ids.next()) {
        (true, _) => "Sources are declared in guide.toml: `[[source]]` with `id`, `title` and `kind`.".to_owned(),
        (false, None) => format!("Sources in guide.toml: {}.", shown.join(", ")),
        (false, Some(_)) => format!("Sources in guide.toml: {} and more.", shown.join(", ")),
    }
}

fn what(role: &str) -> String {
    match role {
        "recalibration" => "recalibration tag".to_owned(),
        "recalibrate_if_disturbed" => "recalibration need".to_owned(),
        "band" => "limit".to_owned(),
        "hose" => "row of the hose table".to_owned(),
        "spec" => "value".to_owned(),
        "fluid" => "fluid".to_owned(),
        other => format!("value of `{other}`"),
    }
}
