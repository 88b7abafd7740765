//! `fault-without-verification`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "fault-without-verification";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Error,
        matters: "Half an hour of checks is lost where the machine turns out to have no fault.",
        page: include_str!("fault-without-verification.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for fault in &subject.guide.faults {
        if fault.verify.is_none() {
            let wrong = format!("Nothing says how to see that the complaint of `{}` is real.", fault.head.id.value);
            let remedy = "Add a table `[verify]` with `says`: what to do with the machine and what to look for.";
            found.push(Finding::new(NAME, fault.head.id.span, wrong, remedy));
        }
    }
}
