//! `cause-without-repair`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "cause-without-repair";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Error,
        matters: "The walk would end at a cause with nothing to do about it.",
        page: include_str!("cause-without-repair.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for cause in subject.guide.faults.iter().flat_map(|fault| &fault.causes) {
        if cause.repair.is_none() {
            let wrong = format!("The cause `{}` names no repair.", cause.id.value);
            let remedy = "Add `repair = \"…\"` with the id of the one procedure that mends it. Where nothing is to be \
                mended, name a procedure that says what to tell the customer.";
            found.push(Finding::new(NAME, cause.id.span, wrong, remedy));
        }
    }
}
