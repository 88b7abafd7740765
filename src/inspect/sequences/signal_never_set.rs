//! `signal-never-set`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "signal-never-set";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "sequences",
        level: Level::Error,
        matters: "The step waits for something that nothing in the operation brings about.",
        page: include_str!("signal-never-set.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for (step, facts) in super::all_steps(subject) {
        for unmet in facts.unmet.iter().filter(|unmet| unmet.stands.is_none() && !unmet.set_later) {
            let Some(need) = step.needs.get(unmet.need) else { continue };
            let signal = &need.signal.value;
            let wrong = format!(
                "The step `{}` needs `{signal}` at \"{}\", but neither the start nor any step sets `{signal}`.",
                step.id.value, need.value.value
            );
            let remedy = format!(
                "Say in `start` how `{signal}` stands before the operation, or add it to `sets` or `ends_on` of the step \
                     that brings it about."
            );
            found.push(Finding::new(NAME, need.signal.span, wrong, remedy));
        }
    }
}
