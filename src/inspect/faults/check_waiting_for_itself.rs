//! `check-waiting-for-itself`

use crate::inspect::wording::listed;
use crate::inspect::{Rule, Subject};
use crate::model::{Fault, Link};
use crate::reason::circles::{Edges, circles};
use crate::report::{Finding, Level, RuleInfo};
use crate::text::{Located, Span};

const NAME: &str = "check-waiting-for-itself";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Error,
        matters: "What waits for itself is never done.",
        page: include_str!("check-waiting-for-itself.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for fault in &subject.guide.faults {
        found.extend(checks(fault));
        found.extend(accesses(fault));
    }
}

fn checks(fault: &Fault) -> Vec<Finding> {
    let waits = fault.checks.iter().map(|check| waits(&check.id, &check.after));
    in_circles(waits.collect(), "check", "after")
}

fn accesses(fault: &Fault) -> Vec<Finding> {
    let waits = fault.accesses.iter().map(|access| waits(&access.id, &access.needs));
    in_circles(waits.collect(), "access", "needs")
}

fn waits<'f, T>(id: &'f Located<String>, for_what: &'f [Link<T>]) -> (&'f str, Vec<(&'f str, Span)>) {
    (id.value.as_str(), for_what.iter().map(|link| (link.as_str(), link.span)).collect())
}

fn in_circles(edges: Edges<'_, Span>, what: &str, key: &str) -> Vec<Finding> {
    let circles = circles(&edges);
    let findings = circles.iter().filter_map(|circle| {
        let (first, span) = circle.first()?;
        let wrong = match circle.len() {
            1 => format!("The {what} `{first}` waits for itself."),
            _ => format!("{} wait for each other.", listed(circle.iter().map(|(name, _)| *name))),
        };
        let remedy = format!("Take the one out of `{key}` that need not come first.");
        let finding = Finding::new(NAME, *span, wrong, remedy);
        let others = circle.iter().skip(1);
        Some(others.fold(finding, |finding, (name, span)| finding.with(*span, format!("what `{name}` waits for"))))
    });
    findings.collect::<Vec<_>>()
}
