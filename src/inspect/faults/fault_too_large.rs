//! `fault-too-large`

use crate::inspect::{Rule, Subject};
use crate::model::Entry;
use crate::reason::plan::PlanError;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "fault-too-large";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Error,
        matters: "No order of its checks can be worked out, and nobody in the bay would get through it.",
        page: include_str!("fault-too-large.md"),
        softenable: false,
    },
    check: Some(check),
};

/// Sizes are known at once; what only planning brings to light is asked when the pages are to be made.
fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for fault in &subject.guide.faults {
        let plans = &subject.facts.plans;
        let planned = || subject.findable.and_then(|_| plans.error(fault.id()).cloned());
        let Some(PlanError::TooLarge(why)) = plans.too_large(fault.id()).or_else(planned) else { continue };
        let wrong = format!("`{}` cannot be planned: {why}.", fault.id());
        let remedy = "Split it by what is seen or heard first: let the answers of one check go on in faults of their own \
            (`go_to`). Causes that one repair mends and that look alike can be one cause.";
        found.push(Finding::new(NAME, fault.head.id.span, wrong, remedy));
    }
}
