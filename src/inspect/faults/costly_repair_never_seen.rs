//! `costly-repair-never-seen`

use crate::inspect::{Rule, Subject};
use crate::model::{Entry, Fault};
use crate::reason::FaultPlan;
use crate::reason::plan::Step;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "costly-repair-never-seen";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Warning,
        matters: "A cause that nobody thought of would be paid for with a dear part, or with days at the depot.",
        page: include_str!("costly-repair-never-seen.md"),
        softenable: true,
    },
    check: Some(check),
};

/// Asks for plans, so it waits until the pages can be made, which takes them too.
fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    if subject.findable.is_none() {
        return;
    }
    for (fault, facts) in super::sure_faults(subject) {
        if facts.causes.iter().all(|cause| cause.wants_proof.is_none()) {
            continue;
        }
        let Some(planned) = subject.facts.plans.get(fault.id()) else { continue };
        for (at, cause) in fault.causes.iter().enumerate() {
            let (Some(proof), Some(repair)) =
                (facts.causes.get(at).and_then(|it| it.wants_proof.as_ref()), &cause.repair)
            else {
                continue;
            };
            let Some(check) = left_over(fault, planned, at).filter(|_| cause.by_elimination.is_none()) else {
                continue;
            };
            let id = &cause.id.value;
            let wrong = format!(
                "The plan of `{}` ends at `{id}` without any answer that shows it: after `{check}` it is what is left, and \
                 its repair `{}` {}.",
                fault.id(),
                repair.value,
                super::proof_words(proof, repair)
            );
            let remedy = format!(
                "Mark a check with an answer that leaves only `{id}` as `first = true`, or add such an answer to `{check}`."
            );
            found.push(Finding::new(NAME, cause.id.span, wrong, remedy).with(repair.span, "the repair"));
        }
    }
}

/// The last check before an end where a cause is what is left over, and nothing has shown its repair.
fn left_over<'g>(fault: &'g Fault, planned: &FaultPlan, cause: usize) -> Option<&'g str> {
    let nodes = &planned.plan.tree.nodes;
    let inferred = |node: usize| match &nodes.get(node)?.step {
        Step::Repair { left, by_elimination: true, .. } => left.iter().any(|it| it.cause == Some(cause)).then_some(()),
        _ => None,
    };
    nodes.iter().find_map(|node| {
        let Step::Check(step) = &node.step else { return None };
        step.answers.iter().find_map(|(_, to)| inferred(*to))?;
        fault.checks.get(step.check).map(|check| check.id.value.as_str())
    })
}
