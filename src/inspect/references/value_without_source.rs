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
        found.push(Finding::new(NAME, value.span, wrong, remedy(value.role)));
    }
}

/// A single value carries its source in a table of its own, a row beside its other keys.
fn remedy(role: &str) -> String {
    let id = "with the id of a source of guide.toml or of a bulletin";
    match role {
        "recalibration" | "recalibrate_if_disturbed" | "band" | "hose" | "spec" | "fluid" => {
            format!("Add `source = \"id, place\"` {id}.")
        }
        key => format!("Write it as `{key} = {{ value = \"…\", source = \"id, place\" }}` {id}."),
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
