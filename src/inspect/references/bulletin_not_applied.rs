//! `bulletin-not-applied`

use crate::inspect::{Rule, Subject};
use crate::model::{AnyEntry, Bulletin};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "bulletin-not-applied";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "references",
        level: Level::Error,
        matters: "The page still says what the bulletin has changed.",
        page: include_str!("bulletin-not-applied.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for bulletin in &subject.guide.bulletins {
        for touched in &bulletin.touches {
            let (kind, id) = &touched.value;
            let Some(entry) = subject.guide.entry(*kind, id) else { continue };
            if !is_applied(subject, bulletin, entry) && !names_unknown(subject, entry) {
                let wrong = format!(
                    "Bulletin {} touches this {}, which does not say it was applied.",
                    bulletin.number.value,
                    kind.word()
                );
                let remedy = format!(
                    "Work the bulletin in, then add `applied_bulletins = [\"{}\"]` to the {}.",
                    bulletin.head.id.value,
                    kind.word()
                );
                found.push(Finding::new(NAME, entry.head.id.span, wrong, remedy).with(touched.span, "named here"));
            }
        }
    }
}

/// A misspelt bulletin has its own finding; it may be this one.
fn names_unknown(subject: &Subject<'_>, entry: AnyEntry<'_>) -> bool {
    entry.head.bulletins.iter().any(|applied| subject.guide.bulletins.get(applied).is_none())
}

/// Applied itself, or through a bulletin that supersedes it.
fn is_applied(subject: &Subject<'_>, bulletin: &Bulletin, entry: AnyEntry<'_>) -> bool {
    let id = bulletin.head.id.value.as_str();
    entry.head.bulletins.iter().any(|applied| {
        applied.as_str() == id
            || subject
                .guide
                .bulletins
                .get(applied)
                .is_some_and(|newer| newer.supersedes.iter().any(|older| older.as_str() == id))
    })
}
