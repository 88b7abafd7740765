//! `variant-not-covered`

use std::collections::BTreeSet;

use crate::inspect::{Rule, Subject};
use crate::model::EntryKey;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "variant-not-covered";

/// Keys under which one entry relies on another for every machine it is for.
const RELIED_ON: [&str; 7] = ["repair", "make_safe", "run", "procedure", "tries", "reading", "go_to"];

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "references",
        level: Level::Error,
        matters: "On one variant the page would have no value or no repair, and the technician would take the other one's.",
        page: include_str!("variant-not-covered.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    check_values(subject, found);
    check_links(subject, found);
}

fn check_values(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for value in &subject.guide.index.varied {
        if value.records.iter().any(Option::is_none) {
            continue;
        }
        let named: BTreeSet<&str> = value.records.iter().flatten().flatten().map(|link| link.value.as_str()).collect();
        if !all_known(subject, &named) {
            continue;
        }
        let needed = needed(subject, value.from.as_ref());
        if let Some(missing) = missing(&needed, &named).filter(|_| all_known(subject, &needed)) {
            let wrong = format!("`{}` has no record for {missing}.", value.role);
            let remedy = format!(
                "Add a record with `variants = [{}]`, or name it in one that is there.",
                missing.split(", ").map(|id| format!("\"{id}\"")).collect::<Vec<_>>().join(", ")
            );
            found.push(Finding::new(NAME, value.span, wrong, remedy));
        }
    }
}

fn check_links(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for link in subject.guide.index.links.iter().filter(|link| RELIED_ON.contains(&link.role)) {
        let to = if link.to.owner.is_some() { None } else { subject.guide.entry(link.to.kind, &link.to.id) };
        let Some(to) = to.filter(|to| to.head.applies_to.is_some()) else { continue };
        let key = EntryKey { kind: to.kind, id: to.head.id.value.clone() };
        let (here, there) = (needed(subject, link.from.as_ref()), needed(subject, Some(&key)));
        // Where they share no variant at all, `applies-to-nothing` speaks.
        if !all_known(subject, &here) || !all_known(subject, &there) {
            continue;
        }
        let Some(missing) = missing(&here, &there).filter(|_| !here.is_disjoint(&there)) else { continue };
        let wrong = format!(
            "The {} `{}` does not hold for {missing}, which this entry is for.",
            to.kind.word(),
            to.head.id.value
        );
        let remedy = "Extend its `applies_to`, narrow the one of this entry, or split the entry by variant.";
        found.push(Finding::new(NAME, link.span, wrong, remedy).with(to.head.id.span, "what it names"));
    }
}

/// The variants an entry is for: those it names, else all.
fn needed<'g>(subject: &Subject<'g>, from: Option<&EntryKey>) -> BTreeSet<&'g str> {
    let named =
        from.and_then(|key| subject.guide.entry(key.kind, &key.id)).and_then(|entry| entry.head.applies_to.as_ref());
    match named {
        Some(named) => named.iter().map(|link| link.value.as_str()).collect(),
        None => subject.guide.variants.iter().map(|variant| variant.head.id.value.as_str()).collect(),
    }
}

/// A misspelt variant has its own finding; what is left of the list is not judged.
fn all_known(subject: &Subject<'_>, named: &BTreeSet<&str>) -> bool {
    named.iter().all(|variant| subject.guide.variants.find(variant).is_some())
}

fn missing(needed: &BTreeSet<&str>, there: &BTreeSet<&str>) -> Option<String> {
    let missing: Vec<&str> = needed.difference(there).copied().collect();
    (!missing.is_empty()).then(|| missing.join(", "))
}
