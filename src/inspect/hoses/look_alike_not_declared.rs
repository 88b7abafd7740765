//! `look-alike-not-declared`

use std::collections::BTreeMap;

use crate::inspect::book::folded;
use crate::inspect::{Rule, Subject};
use crate::model::{Part, PartKind};
use crate::reason::{holds, machines};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "look-alike-not-declared";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Error,
        matters: "Parts that look alike get swapped, unless the page of each one warns of the other.",
        page: include_str!("look-alike-not-declared.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for part in &subject.guide.parts {
        for like in &part.not_interchangeable_with {
            let Some(other) = subject.guide.parts.get(&like.part.value) else { continue };
            // Two parts that no machine has both of: `applies-to-nothing` speaks.
            if on_one_machine(subject, part, other) {
                found.extend(one_sided(part, other, like.part.span));
            }
        }
    }
    undeclared(subject, found);
}

fn one_sided(part: &Part, other: &Part, mention: crate::text::Span) -> Option<Finding> {
    let (id, other_id) = (&part.head.id, &other.head.id);
    if id == other_id {
        let wrong = format!("The part `{}` names itself as its look-alike.", id.value);
        return Some(Finding::new(NAME, mention, wrong, "Name the other part, or take the record out."));
    }
    if names(other, part) {
        return None;
    }
    let wrong = format!(
        "`{}` names this part as a look-alike not to be swapped with it; this part does not name `{0}`.",
        id.value
    );
    let remedy = format!("Add `not_interchangeable_with = [{{ part = \"{}\", because = … }}]` to this part.", id.value);
    Some(Finding::new(NAME, other_id.span, wrong, remedy).with(mention, "where the other part names it"))
}

fn names(part: &Part, other: &Part) -> bool {
    part.not_interchangeable_with.iter().any(|like| like.part.as_str() == other.head.id.value)
}

/// Pump units, hoses and cylinders that read the same but have different numbers.
fn undeclared(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let mut seen: BTreeMap<(PartKind, &str, String), Vec<&Part>> = BTreeMap::new();
    for part in subject.guide.parts.iter().filter(|part| may_be_swapped(part.kind.value) && part.number.is_some()) {
        let mark = part.mark.as_ref().map(|mark| ("mark", mark));
        for (what, said) in [Some(("name", &part.name)), mark].into_iter().flatten() {
            let before = seen.entry((part.kind.value, what, folded(said))).or_default();
            let first = before.iter().find(|first| are_rivals(subject, first, part));
            if let Some(first) = first {
                let wrong = format!(
                    "This {what} is also that of the part `{}`, which has another number.",
                    first.head.id.value
                );
                let remedy =
                    "Name each part in the other's `not_interchangeable_with`, or call one of them by another name.";
                let place = if what == "name" { first.name.span } else { first.head.id.span };
                found.push(Finding::new(NAME, said.span, wrong, remedy).with(place, "the other part"));
            }
            before.push(part);
        }
    }
}

fn may_be_swapped(kind: PartKind) -> bool {
    matches!(kind, PartKind::PumpUnit | PartKind::Hose | PartKind::Cylinder)
}

/// Two parts on one machine with different numbers, of which neither replaces nor names the other.
fn are_rivals(subject: &Subject<'_>, one: &Part, other: &Part) -> bool {
    one.number != other.number
        && on_one_machine(subject, one, other)
        && !replaces(one, other)
        && !replaces(other, one)
        && !names(one, other)
        && !names(other, one)
}

fn on_one_machine(subject: &Subject<'_>, one: &Part, other: &Part) -> bool {
    let both = |machine| [one, other].iter().all(|part| holds(part.head.applies_to.as_deref(), machine));
    machines(subject.guide).iter().any(both)
}

fn replaces(part: &Part, other: &Part) -> bool {
    let number = other.number.as_ref().map(|number| number.value.as_str());
    part.supersedes.iter().any(|old| Some(old.value.as_str()) == number || old.value == other.head.id.value)
}
