//! `applies-to-nothing`

use std::collections::BTreeSet;

use crate::inspect::{Rule, Subject};
use crate::model::{AnyEntry, Name};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "applies-to-nothing";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "references",
        level: Level::Error,
        matters: "The technician would follow it to a page that holds for no machine of theirs.",
        page: include_str!("applies-to-nothing.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for entry in subject.guide.entries() {
        if entry.head.applies_to.as_ref().is_some_and(Vec::is_empty) {
            let wrong = format!("The {} `{}` applies to no variant.", entry.kind.word(), entry.head.id.value);
            let variants = subject.guide.variants.iter().map(|variant| format!("\"{}\"", variant.head.id.value));
            let remedy = format!(
                "Name the variants it holds for in `applies_to`, of {}; or take it out where it holds for all.",
                variants.collect::<Vec<_>>().join(", ")
            );
            found.push(Finding::new(NAME, entry.head.id.span, wrong, remedy));
        }
    }
    check_links(subject, found);
}

fn check_links(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for link in &subject.guide.index.links {
        let Some(from) = link.from.as_ref().and_then(|key| subject.guide.entry(key.kind, &key.id)) else { continue };
        let Some(to) = target(subject, &link.to) else { continue };
        let (Some(here), Some(there)) = (variants(from), variants(to)) else { continue };
        // A misspelt variant has its own finding; what is left of the list is not judged.
        if here.union(&there).any(|variant| subject.guide.variants.find(variant).is_none()) {
            continue;
        }
        if here.is_empty() || there.is_empty() || !here.is_disjoint(&there) {
            continue;
        }
        let wrong = format!(
            "This {} is for {}, but the {} `{}` is only for {}.",
            from.kind.word(),
            listed(&here),
            to.kind.word(),
            to.head.id.value,
            listed(&there)
        );
        let remedy = format!(
            "Name a {} that holds for the same variants, or correct `applies_to` in one of them.",
            to.kind.word()
        );
        found.push(Finding::new(NAME, link.span, wrong, remedy).with(to.head.id.span, "what it names"));
    }
}

fn target<'g>(subject: &Subject<'g>, name: &Name) -> Option<AnyEntry<'g>> {
    if name.owner.is_some() { None } else { subject.guide.entry(name.kind, &name.id) }
}

fn variants(entry: AnyEntry<'_>) -> Option<BTreeSet<&str>> {
    entry.head.applies_to.as_ref().map(|named| named.iter().map(|link| link.value.as_str()).collect())
}

fn listed(variants: &BTreeSet<&str>) -> String {
    variants.iter().copied().collect::<Vec<_>>().join(", ")
}
