//! `costly-repair-on-trial`

use crate::inspect::{Rule, Subject};
use crate::reason::proof::wants_proof;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "costly-repair-on-trial";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Error,
        matters: "Swapping a part to see whether it helps spends the part, or days at the depot, on a guess.",
        page: include_str!("costly-repair-on-trial.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for check in subject.guide.faults.iter().flat_map(|fault| &fault.checks) {
        let Some(tried) = &check.tries else { continue };
        if let Some(proof) = wants_proof(subject.guide, &subject.facts.recalibration, tried) {
            let wrong = format!(
                "The check `{}` tries `{}`, which {}.",
                check.id.value,
                tried.value,
                super::proof_words(&proof, tried)
            );
            let remedy = "Take `tries` out and ask for something that can be seen or measured without the repair.";
            found.push(Finding::new(NAME, tried.span, wrong, remedy));
        }
    }
}
