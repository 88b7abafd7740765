//! `two-pages-same-title`

use std::collections::BTreeMap;

use crate::inspect::wording::title_span;
use crate::inspect::{Rule, Subject};
use crate::model::{AnyEntry, Kind};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "two-pages-same-title";

/// Kinds with a page for each entry.
const PAGES: [Kind; 9] = [
    Kind::Fault,
    Kind::Procedure,
    Kind::Part,
    Kind::Circuit,
    Kind::WiringPath,
    Kind::Sequence,
    Kind::Reading,
    Kind::Bulletin,
    Kind::Note,
];

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "references",
        level: Level::Warning,
        matters: "In a list and in search results, nobody can tell which of the two is the right one.",
        page: include_str!("two-pages-same-title.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let mut first: BTreeMap<String, Vec<AnyEntry<'_>>> = BTreeMap::new();
    for entry in subject.guide.entries().into_iter().filter(|entry| PAGES.contains(&entry.kind)) {
        let words = entry.title.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
        let known = first.entry(words).or_default();
        let alike = |other: &&AnyEntry<'_>| share_a_machine(other, &entry) && !told_by_number(subject, other, &entry);
        if let Some(other) = known.iter().find(alike) {
            let wrong = format!("The {} `{}` has the same title.", other.kind.word(), other.head.id.value);
            let remedy = "Say in one of the titles what is different: the side, the place, the variant, or the job.";
            let at = title_span(subject.guide, &entry);
            found.push(Finding::new(NAME, at, wrong, remedy).with(title_span(subject.guide, other), "the other one"));
        }
        known.push(entry);
    }
}

/// Parts with numbers are told apart by them; whether they may be swapped is asked by `look-alike-not-declared`.
fn told_by_number(subject: &Subject<'_>, left: &AnyEntry<'_>, right: &AnyEntry<'_>) -> bool {
    let number = |entry: &AnyEntry<'_>| {
        let part = if entry.kind == Kind::Part { subject.guide.parts.find(&entry.head.id.value) } else { None };
        part.and_then(|part| part.number.as_ref()).map(|number| number.value.clone())
    };
    matches!((number(left), number(right)), (Some(left), Some(right)) if left != right)
}

/// Pages for different machines are told apart by the variants that stand beside their titles.
fn share_a_machine(left: &AnyEntry<'_>, right: &AnyEntry<'_>) -> bool {
    match (&left.head.applies_to, &right.head.applies_to) {
        (Some(left), Some(right)) => left.iter().any(|link| right.iter().any(|other| other.value == link.value)),
        _ => true,
    }
}
