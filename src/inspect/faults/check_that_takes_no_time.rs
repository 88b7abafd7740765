//! `check-that-takes-no-time`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "check-that-takes-no-time";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Warning,
        matters: "A check that costs nothing comes first in every plan, however little it tells.",
        page: include_str!("check-that-takes-no-time.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for check in subject.guide.faults.iter().flat_map(|fault| &fault.checks) {
        if check.seconds.value == 0 {
            let wrong = format!("The check `{}` takes 0 minutes.", check.id.value);
            let remedy =
                "Write what it takes with gloves on, from the question to the answer: a glance is `minutes = 0.2`.";
            found.push(Finding::new(NAME, check.seconds.span, wrong, remedy));
        }
    }
}
