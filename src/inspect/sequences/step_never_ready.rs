//! `step-never-ready`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "step-never-ready";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "sequences",
        level: Level::Error,
        matters: "By the table the machine can never get past this step, so the stall page would be wrong for all that follow.",
        page: include_str!("step-never-ready.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for (step, facts) in super::all_steps(subject) {
        for unmet in &facts.unmet {
            let Some(need) = step.needs.get(unmet.need) else { continue };
            let signal = &need.signal.value;
            let stands = match &unmet.stands {
                Some(stand) => format!("stands at \"{}\"", stand.value.as_deref().unwrap_or_default()),
                None if unmet.set_later => "is set only later".to_owned(),
                None => continue,
            };
            let (id, value) = (&step.id.value, &need.value.value);
            let wrong = format!("The step `{id}` needs `{signal}` at \"{value}\", but by then `{signal}` {stands}.");
            let remedy = "Correct the need, or the step before it that leaves the signal so; or put the steps into the order \
                              in which the machine runs them.";
            let finding = Finding::new(NAME, need.value.span, wrong, remedy);
            found.push(match &unmet.stands {
                Some(stand) => finding.with(stand.span, "where the signal gets the value it has by then"),
                None => finding,
            });
        }
    }
}
