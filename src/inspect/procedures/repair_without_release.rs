//! `repair-without-release`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "repair-without-release";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "procedures",
        level: Level::Error,
        matters: "Nobody has said that the machine may be used again, so nobody answers for it.",
        page: include_str!("repair-without-release.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for (procedure, because) in super::repairs(subject) {
        if procedure.release.is_none() {
            let wrong = format!("The {} does not say who releases the machine.", super::as_repair(procedure, because));
            let remedy = "Add `release = \"…\"` to `[procedure]`: who looks at the work, and what they sign.";
            found.push(super::pointing(Finding::new(NAME, procedure.head.id.span, wrong, remedy), because));
        }
    }
}
