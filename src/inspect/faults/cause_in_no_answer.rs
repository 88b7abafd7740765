//! `cause-in-no-answer`

use crate::inspect::wording::listed;
use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "cause-in-no-answer";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Error,
        matters: "A machine with this cause gives none of the answers, so the technician gives a wrong one and loses the cause.",
        page: include_str!("cause-in-no-answer.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for fault in &subject.guide.faults {
        let Some(facts) = subject.facts.faults.get(fault.head.id.value.as_str()) else { continue };
        for (check, known) in fault.checks.iter().zip(&facts.checks).filter(|(_, known)| known.sure) {
            let out = known.leaves_out(fault.causes.len());
            if out.is_empty() {
                continue;
            }
            let causes = listed(out.iter().filter_map(|at| fault.causes.get(*at)).map(|cause| cause.id.value.as_str()));
            let wrong = format!("No answer of the check `{}` leaves {causes}.", check.id.value);
            let remedy = format!(
                "Ask what the check shows when {causes} is the cause, and add the cause to `leaves` of that answer; \
                 several answers may leave it."
            );
            found.push(Finding::new(NAME, check.id.span, wrong, remedy));
        }
    }
}
