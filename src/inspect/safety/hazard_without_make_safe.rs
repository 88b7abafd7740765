//! `hazard-without-make-safe`

use crate::inspect::wording::on_machines;
use crate::inspect::{Rule, Subject};
use crate::model::{Entry, ProcedureKind};
use crate::reason::hazards::{Exposure, Safety, Site};
use crate::reason::machines;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "hazard-without-make-safe";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "safety",
        level: Level::Error,
        matters: "The caution warns of pressure or weight that nobody has taken away.",
        page: include_str!("hazard-without-make-safe.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let all = machines(subject.guide).len();
    for exposure in &subject.facts.exposures {
        let Safety::Never(machines) = &exposure.safety else { continue };
        let wrong = format!(
            "{}, which brings out the hazard `{}`{}, and nothing takes it away before.",
            super::told(subject, exposure),
            exposure.hazard,
            on_machines(machines, all)
        );
        let remedy = remedy(subject, exposure);
        found.push(super::pointing(subject, Finding::new(NAME, exposure.at, wrong, remedy), exposure));
    }
}

fn remedy(subject: &Subject<'_>, exposure: &Exposure) -> String {
    let state = "a `state`: a `[[state]]` of guide.toml with the hazard in `safe_from`";
    if matches!(exposure.site, Site::Verify(_)) {
        return format!("Give the verification {state}.");
    }
    let made: Vec<String> = subject
        .guide
        .procedures
        .iter()
        .filter(|it| {
            it.kind.value == ProcedureKind::MakeSafe && it.makes_safe.iter().any(|made| made.value == exposure.hazard)
        })
        .map(|it| format!("\"{}\"", it.id()))
        .collect();
    let procedure = match made.as_slice() {
        [] => format!("a procedure of kind make-safe with `makes_safe = [\"{}\"]`", exposure.hazard),
        made => made.join(" or "),
    };
    let owner = match &exposure.site {
        Site::Step(procedure, _) => format!("the procedure `{procedure}`"),
        site => super::owner(subject, site),
    };
    format!("Add {procedure} to `make_safe` of {owner}, or give it {state}.")
}
