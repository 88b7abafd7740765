//! `hose-end-missing`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "hose-end-missing";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Error,
        matters: "A hose whose end goes nowhere cannot be put back.",
        page: include_str!("hose-end-missing.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for hose in subject.guide.circuits.iter().flat_map(|circuit| &circuit.hoses) {
        let missing = match (&hose.from, &hose.to) {
            (None, None) => "`from` and `to`",
            (None, Some(_)) => "`from`",
            (Some(_), None) => "`to`",
            (Some(_), Some(_)) => continue,
        };
        let wrong = format!("The hose `{}` has no {missing}.", hose.id.value);
        let remedy = format!("Add {missing} with the id of the port that the end is screwed to.");
        found.push(Finding::new(NAME, hose.id.span, wrong, remedy));
    }
}
