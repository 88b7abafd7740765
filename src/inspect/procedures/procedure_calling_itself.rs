//! `procedure-calling-itself`

use crate::inspect::{Rule, Subject};
use crate::model::Entry;
use crate::reason::calls::calls;
use crate::reason::circles::{Edges, circles};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "procedure-calling-itself";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "procedures",
        level: Level::Error,
        matters: "The technician would be sent from page to page and never come to an end.",
        page: include_str!("procedure-calling-itself.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let edges = subject.guide.procedures.iter().map(|procedure| {
        let calls = calls(procedure).map(|(role, link)| (link.as_str(), (role, link.span)));
        (procedure.id(), calls.collect())
    });
    let edges: Edges<'_, _> = edges.collect();
    for circle in circles(&edges) {
        let Some((first, (_, span))) = circle.first() else { continue };
        let names = circle.iter().skip(1).map(|(name, _)| *name).chain([*first]);
        let way: Vec<String> = circle
            .iter()
            .zip(names)
            .map(|((_, (role, _)), to)| format!("{} `{to}`", super::role_words(*role)))
            .collect();
        let wrong = format!("The procedure `{first}` comes back to itself: it {}.", way.join(", which "));
        let remedy =
            "Take out the place that need not be there; or put the shared steps into a procedure of their own.";
        let finding = Finding::new(NAME, *span, wrong, remedy);
        let others = circle.iter().skip(1);
        found.push(others.fold(finding, |it, (name, (_, span))| it.with(*span, format!("where `{name}` goes on"))));
    }
}
