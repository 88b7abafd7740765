//! `caution-milder-than-hazard`

use crate::inspect::{Rule, Subject};
use crate::model::{Caution, Signal};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "caution-milder-than-hazard";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "safety",
        level: Level::Error,
        matters: "People judge by the signal word how near to go.",
        page: include_str!("caution-milder-than-hazard.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for caution in cautions(subject) {
        let hazard = caution.hazard.as_ref().and_then(|link| subject.guide.hazards.get(link));
        let (Some(hazard), Some(own)) = (hazard, &caution.signal) else { continue };
        // The gravest signal word comes first.
        if own.value > hazard.signal.value {
            let wrong = format!(
                "The caution says {}, but the hazard `{}` is a {}.",
                word(own.value),
                hazard.head.id.value,
                word(hazard.signal.value)
            );
            let remedy = "Take `signal` out, so that the hazard's own word is shown, or write a graver one.";
            found
                .push(Finding::new(NAME, own.span, wrong, remedy).with(hazard.signal.span, "the hazard's signal word"));
        }
    }
}

fn cautions<'g>(subject: &Subject<'g>) -> Vec<&'g Caution> {
    let guide = subject.guide;
    let mut all: Vec<&Caution> = guide.cautions.iter().collect();
    for fault in &guide.faults {
        all.extend(&fault.cautions);
        all.extend(fault.verify.iter().flat_map(|verify| &verify.cautions));
        all.extend(fault.accesses.iter().flat_map(|access| &access.cautions));
        all.extend(fault.checks.iter().flat_map(|check| &check.cautions));
    }
    for procedure in &guide.procedures {
        all.extend(&procedure.cautions);
        all.extend(procedure.steps.iter().flat_map(|step| &step.cautions));
    }
    all
}

fn word(signal: Signal) -> &'static str {
    match signal {
        Signal::Danger => "danger",
        Signal::Warning => "warning",
        Signal::Caution => "caution",
        Signal::Notice => "notice",
    }
}
