//! `answer-leaving-no-cause`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "answer-leaving-no-cause";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Error,
        matters: "Who gets this answer stands before an empty page.",
        page: include_str!("answer-leaving-no-cause.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let checks = subject.guide.faults.iter().flat_map(|fault| &fault.checks);
    for answer in checks.flat_map(|check| &check.answers) {
        if answer.leaves.is_empty() && answer.go_to.is_none() {
            let wrong = format!("The answer \"{}\" leaves no cause and goes to no fault.", answer.says.value);
            let remedy = "Add `leaves` with the causes that are still possible after it, or `go_to` with the fault that \
                it belongs to.";
            found.push(Finding::new(NAME, answer.says.span, wrong, remedy));
        }
    }
}
