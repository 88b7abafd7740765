//! `make-safe-without-caution`

use crate::inspect::{Rule, Subject};
use crate::model::{Hazard, Id, Procedure};
use crate::reason::hazards::Site;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "make-safe-without-caution";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "safety",
        level: Level::Error,
        matters: "Whoever takes a hazard away works beside it until it is gone.",
        page: include_str!("make-safe-without-caution.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for procedure in &subject.guide.procedures {
        for link in procedure.makes_safe.iter().filter(|link| subject.guide.hazards.get(link).is_some()) {
            let hazard = &link.value;
            if is_warned_of(subject, procedure, hazard) || is_gone(subject, procedure, hazard) {
                continue;
            }
            let id = &procedure.head.id.value;
            let wrong = format!("`{id}` takes the hazard `{hazard}` away, and no caution tells of it meanwhile.");
            let remedy = format!("Add `{hazard}` to `cautions` of the procedure `{id}`.");
            found.push(Finding::new(NAME, link.span, wrong, remedy));
        }
    }
}

/// True where a caution speaks of it, or the rules about what is touched judge whether one does.
fn is_warned_of(subject: &Subject<'_>, procedure: &Procedure, hazard: &Id<Hazard>) -> bool {
    let steps = procedure.steps.iter().flat_map(|step| &step.cautions);
    let mut cautions = subject.guide.cautions.iter().chain(&procedure.cautions).chain(steps);
    let here = |site: &Site| match site {
        Site::Procedure(id) | Site::Step(id, _) => id.as_str() == procedure.head.id.value,
        Site::Verify(_) | Site::Access(..) | Site::Check(..) => false,
    };
    cautions.any(|caution| caution.covers(hazard))
        || subject.facts.exposures.iter().any(|exposure| exposure.hazard == *hazard && here(&exposure.site))
}

/// True where another procedure, done before or in a step, takes it away.
fn is_gone(subject: &Subject<'_>, procedure: &Procedure, hazard: &Id<Hazard>) -> bool {
    let runs = procedure.steps.iter().filter_map(|step| step.run.as_ref());
    let mut others = procedure.make_safe.iter().chain(runs).filter_map(|link| subject.guide.procedures.get(link));
    others.any(|other| other.head.id != procedure.head.id && other.makes_safe.iter().any(|link| link.value == *hazard))
}
