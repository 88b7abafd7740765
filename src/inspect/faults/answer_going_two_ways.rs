//! `answer-going-two-ways`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "answer-going-two-ways";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Error,
        matters: "The technician cannot stay with this fault and leave it.",
        page: include_str!("answer-going-two-ways.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let checks = subject.guide.faults.iter().flat_map(|fault| &fault.checks);
    for answer in checks.flat_map(|check| &check.answers) {
        if let Some(fault) = answer.go_to.as_ref().filter(|_| !answer.leaves.is_empty()) {
            let wrong = format!(
                "The answer \"{}\" leaves causes here and goes to the fault `{}`.",
                answer.says.value, fault.value
            );
            let remedy = "Keep `leaves` or `go_to`; where both can be true, make two answers of it.";
            found.push(Finding::new(NAME, fault.span, wrong, remedy));
        }
    }
}
