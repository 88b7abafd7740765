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

/// What to do where the minutes are right; a change of state is part of guide.toml, and no rule can be softened for it alone.
const SOFTEN: &str = " If they are right, soften the rule for this entry and say so.";

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let guide = subject.guide;
    let long = |seconds: &Located<u32>| seconds.value > DAY;
    let day = "a working day of 8 hours";
    let of_faults = of_faults(guide).into_iter().filter(|(_, seconds)| long(seconds));
    found.extend(of_faults.map(|(what, seconds)| finding(&what, seconds, day, SOFTEN)));
    for change in guide.state_changes.iter().filter(|change| long(&change.seconds)) {
        let what = format!("change from `{}` to `{}`", change.from.value, change.to.value);
        found.push(finding(&what, &change.seconds, day, ""));
    }
    for procedure in guide.procedures.iter().filter(|procedure| procedure.seconds.value > WEEK) {
        let what = format!("procedure `{}`", procedure.id());
        found.push(finding(&what, &procedure.seconds, "a working week of 40 hours", SOFTEN));
    }
}

/// What is done while a fault is looked for.
fn of_faults(guide: &Guide) -> Vec<(String, &Located<u32>)> {
    let mut told = Vec::new();
    for fault in &guide.faults {
        let verify = fault.verify.iter().filter_map(|verify| verify.seconds.as_ref());
        told.extend(verify.map(|seconds| (format!("verification of `{}`", fault.id()), seconds)));
        told.extend(
            fault.accesses.iter().map(|one| (format!("access `{}` of `{}`", one.id.value, fault.id()), &one.seconds)),
        );
        told.extend(
            fault.checks.iter().map(|one| (format!("check `{}` of `{}`", one.id.value, fault.id()), &one.seconds)),
        );
    }
    told
}

fn finding(what: &str, seconds: &Located<u32>, more: &str, soften: &str) -> Finding {
    let wrong = format!("The {what} takes {} minutes: more than {more}.", seconds.value.div_ceil(60));
    let remedy = format!("Write the minutes that a hand works on it, without waiting overnight.{soften}");
    Finding::new(NAME, seconds.span, wrong, remedy)
}
