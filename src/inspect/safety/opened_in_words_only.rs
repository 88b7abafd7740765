//! `opened-in-words-only`

use std::collections::BTreeSet;

use crate::inspect::spoken::{Words, sentences, takes_apart};
use crate::inspect::{Rule, Subject};
use crate::model::{Contact, Entry, Guide, Hazard, Id, Part, Procedure};
use crate::reason::hazards::Site;
use crate::report::{Finding, Level, RuleInfo};
use crate::text::Span;

const NAME: &str = "opened-in-words-only";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "safety",
        level: Level::Warning,
        matters: "Cautions and make-safe are asked for by `opens`, `moves` and `disturbs`: what is opened in words alone is guarded by nothing.",
        page: include_str!("opened-in-words-only.md"),
        softenable: true,
    },
    check: Some(check),
};

/// A part that is dangerous to open, as texts name it.
struct Dangerous<'g> {
    part: &'g Part,
    names: Vec<Words>,
    hazards: BTreeSet<Id<Hazard>>,
}

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let dangerous = dangerous(subject.guide);
    for (site, text, span) in told(subject.guide) {
        let sentences = sentences(text);
        let opened = |one: &&Dangerous<'_>| one.names.iter().any(|name| takes_apart(&sentences, name));
        let opened: Vec<&Dangerous<'_>> = dangerous.iter().filter(opened).collect();
        if opened.is_empty() {
            continue;
        }
        let met = met(subject, &site);
        let Some(one) = opened.into_iter().find(|one| one.hazards.is_disjoint(&met)) else { continue };
        let owner = super::owner(subject, &site);
        let hazards = crate::inspect::wording::listed(one.hazards.iter().map(Id::as_str));
        let id = one.part.id();
        let wrong = format!("By its words {owner} opens `{id}`, which brings out {hazards}; no key says so.");
        let remedy = format!(
            "Add `opens = [\"{id}\"]` to {owner} (or `disturbs`, where it comes off), then the cautions and `make_safe` \
             that are asked for. If nothing is opened, soften the rule for this entry and say so."
        );
        found.push(Finding::new(NAME, span, wrong, remedy));
    }
}

fn dangerous(guide: &Guide) -> Vec<Dangerous<'_>> {
    let parts = guide.parts.iter().filter_map(|part| {
        let own = part.hazards.iter().filter(|it| it.when.value != Contact::Moved).map(|it| &it.hazard);
        let hazards = own.chain(part.load.iter().map(|load| &load.hazard));
        let hazards: BTreeSet<_> = hazards.map(|link| link.value.clone()).collect();
        let hazards: BTreeSet<_> = hazards.into_iter().filter(|id| guide.hazards.get(id).is_some()).collect();
        (!hazards.is_empty()).then(|| Dangerous { part, names: names(guide, part), hazards })
    });
    parts.collect()
}

/// The name of a part, and "hose FR" for every hose of a table that is of this part.
fn names(guide: &Guide, part: &Part) -> Vec<Words> {
    let hoses = guide.circuits.iter().flat_map(|circuit| &circuit.hoses);
    let own = hoses.filter(|hose| hose.part.as_ref().is_some_and(|link| link.as_str() == part.id()));
    let marked = own.map(|hose| Words::of(&format!("hose {}", hose.mark.value)));
    std::iter::once(Words::of(&part.name)).chain(marked).filter(|name| !name.is_empty()).collect()
}

/// Every text that tells a hand what to do.
fn told(guide: &Guide) -> Vec<(Site, &str, Span)> {
    let mut told = Vec::new();
    for fault in &guide.faults {
        let id = || Id::new(fault.id());
        told.extend(fault.verify.iter().map(|it| (Site::Verify(id()), it.says.markdown.as_str(), it.says.span)));
        let accesses = fault.accesses.iter().enumerate();
        told.extend(accesses.map(|(at, it)| (Site::Access(id(), at), it.action.as_str(), it.action.span)));
        let checks = fault.checks.iter().enumerate().filter_map(|(at, it)| Some((at, it.how.as_ref()?)));
        told.extend(checks.map(|(at, how)| (Site::Check(id(), at), how.markdown.as_str(), how.span)));
    }
    for procedure in &guide.procedures {
        let steps = procedure.steps.iter().enumerate().filter_map(|(at, it)| Some((at, it.action.as_ref()?)));
        let site = |at| Site::Step(Id::new(procedure.id()), at);
        told.extend(steps.map(|(at, action)| (site(at), action.markdown.as_str(), action.span)));
    }
    told
}

/// The hazards that are known to be met there; in a step, those of its whole procedure, which may mean any step, and those
/// that the procedure is there to remove.
fn met(subject: &Subject<'_>, site: &Site) -> BTreeSet<Id<Hazard>> {
    let whole = |id: &Id<Procedure>| match site {
        Site::Step(procedure, _) => procedure == id,
        _ => false,
    };
    let here = |other: &Site| match other {
        Site::Step(id, _) | Site::Procedure(id) => whole(id),
        other => other == site,
    };
    let removed = subject.guide.procedures.iter().filter(|procedure| whole(&Id::new(procedure.id())));
    let removed = removed.flat_map(|procedure| &procedure.makes_safe).map(|link| link.value.clone());
    subject.facts.exposures.iter().filter(|it| here(&it.site)).map(|it| it.hazard.clone()).chain(removed).collect()
}
