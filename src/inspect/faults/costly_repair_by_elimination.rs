//! `costly-repair-by-elimination`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "costly-repair-by-elimination";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Error,
        matters: "Days at the depot, or a dear part, would be spent on a guess.",
        page: include_str!("costly-repair-by-elimination.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for fault in &subject.guide.faults {
        let Some(facts) = subject.facts.faults.get(fault.head.id.value.as_str()) else { continue };
        for (cause, known) in fault.causes.iter().zip(&facts.causes) {
            let (Some(reason), Some(proof), Some(repair)) = (&cause.by_elimination, &known.wants_proof, &cause.repair)
            else {
                continue;
            };
            let wrong = format!(
                "`{}` may be concluded by elimination, but its repair `{}` {}.",
                cause.id.value,
                repair.value,
                super::proof_words(proof, repair)
            );
            let remedy = format!(
                "Take `by_elimination` out and add a check with an answer that leaves only `{}`.",
                cause.id.value
            );
            found.push(Finding::new(NAME, reason.span, wrong, remedy).with(repair.span, "the repair"));
        }
    }
}
