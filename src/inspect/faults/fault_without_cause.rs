//! `fault-without-cause`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "fault-without-cause";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Error,
        matters: "The page would hold a complaint and nothing to find.",
        page: include_str!("fault-without-cause.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for fault in &subject.guide.faults {
        if fault.causes.is_empty() {
            let wrong = format!("The fault `{}` has no cause.", fault.head.id.value);
            let remedy = "Add a table `[[cause]]` for each reason the complaint can have, or take the fault out and put \
                its words under `also_said` of another one.";
            found.push(Finding::new(NAME, fault.head.id.span, wrong, remedy));
        }
    }
}
