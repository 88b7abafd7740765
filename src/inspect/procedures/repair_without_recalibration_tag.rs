//! `repair-without-recalibration-tag`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "repair-without-recalibration-tag";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "procedures",
        level: Level::Error,
        matters: "The technician learns too late that the machine must go to the depot, or sends it there for nothing.",
        page: include_str!("repair-without-recalibration-tag.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for (procedure, because) in super::repairs(subject) {
        if !procedure.recalibration.is_empty() {
            continue;
        }
        let wrong = format!("The {} says nothing of recalibration.", super::as_repair(procedure, because));
        let remedy = "Add a table `[recalibration]` with `need` (none, conditional or required), `because`, `source` and, \
            unless the need is none, `by` with the depots that may do it.";
        found.push(super::pointing(Finding::new(NAME, procedure.head.id.span, wrong, remedy), because));
    }
}
