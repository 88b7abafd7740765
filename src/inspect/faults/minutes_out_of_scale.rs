//! `minutes-out-of-scale`

use crate::inspect::{Rule, Subject};
use crate::model::{Entry, Guide};
use crate::report::{Finding, Level, RuleInfo};
use crate::text::Located;

const NAME: &str = "minutes-out-of-scale";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Warning,
        matters: "The order of checks and every quote are worked out from minutes: one slip puts a good check last.",
        page: include_str!("minutes-out-of-scale.md"),
        softenable: true,
    },
    check: Some(check),
};

/// A working day, and a working week of five of them; common practice, no source.
const DAY: u32 = 8 * 3600;
const WEEK: u32 = 5 * DAY;

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for (what, seconds) in of_faults(subject.guide) {
        if seconds.value > DAY {
            found.push(finding(&what, seconds, "a working day of 8 hours"));
        }
    }
    for procedure in &subject.guide.procedures {
        if procedure.seconds.value > WEEK {
            found.push(finding(
                &format!("procedure `{}`", procedure.id()),
                &procedure.seconds,
                "a working week of 40 hours",
            ));
        }
    }
}

/// What is done while a fault is looked for, and getting the machine ready for it.
fn of_faults(guide: &Guide) -> Vec<(String, &Located<u32>)> {
    let mut told = Vec::new();
    for fault in &guide.faults {
        let verify = fault.verify.iter().filter_map(|verify| verify.seconds.as_ref());
        told.extend(verify.map(|seconds| (format!("verification of `{}`", fault.id()), seconds)));
        told.extend(fault.accesses.iter().map(|one| (format!("access `{}`", one.id.value), &one.seconds)));
        told.extend(fault.checks.iter().map(|one| (format!("check `{}`", one.id.value), &one.seconds)));
    }
    let changes = guide.state_changes.iter();
    told.extend(changes.map(|one| (format!("change from `{}` to `{}`", one.from.value, one.to.value), &one.seconds)));
    told
}

fn finding(what: &str, seconds: &Located<u32>, more: &str) -> Finding {
    let hours = seconds.value.div_ceil(3600);
    let wrong =
        format!("The {what} takes {} minutes, about {hours} hours: more than {more}.", seconds.value.div_ceil(60));
    let remedy = "Write the minutes that a hand works on it, without waiting overnight. If they are right, soften the rule for \
                  this entry and say so.";
    Finding::new(NAME, seconds.span, wrong, remedy)
}
