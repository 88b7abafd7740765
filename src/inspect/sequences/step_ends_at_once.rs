//! `step-ends-at-once`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "step-ends-at-once";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "sequences",
        level: Level::Warning,
        matters: "A step that is over before it begins explains no stop, and hides the signal that really ends it.",
        page: include_str!("step-ends-at-once.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for (step, facts) in super::all_steps(subject).filter(|(_, facts)| facts.ends_at_once) {
        let Some(first) = step.ends_on.first() else { continue };
        let wrong = format!(
            "The step `{}` ends on `{}` at \"{}\", which stands so before it begins.",
            step.id.value, first.signal.value, first.value.value
        );
        let remedy = "Name the signal, or the value of it, that changes while the step runs; or take the step out.";
        let mut finding = Finding::new(NAME, first.value.span, wrong, remedy);
        if let Some(stand) = &facts.stood {
            finding = finding.with(stand.span, "where it gets that value");
        }
        found.push(finding);
    }
}
