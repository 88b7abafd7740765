//! `page-nobody-can-find`

use crate::inspect::wording::title_span;
use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "page-nobody-can-find";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "search",
        level: Level::Warning,
        matters: "Who types the words of a page's own title gets other pages, and takes one of them for the right one.",
        page: include_str!("page-nobody-can-find.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let lost = subject.findable.into_iter().flat_map(|findable| &findable.lost);
    for (page, first) in lost {
        let Some(entry) = subject.guide.entry(page.kind, &page.id) else { continue };
        let first = first.as_ref().and_then(|first| subject.guide.entry(first.kind, &first.id));
        let wrong = match &first {
            Some(first) => format!(
                "Searching for \"{}\" brings up \"{}\" first, and this page not among the first three.",
                entry.title, first.title
            ),
            None => format!("Searching for \"{}\" finds nothing.", entry.title),
        };
        let remedy = "Say in the title what only this page is about: the part, its side or its place.";
        let finding = Finding::new(NAME, title_span(subject.guide, &entry), wrong, remedy);
        found.push(match &first {
            Some(first) => finding.with(title_span(subject.guide, first), "what comes first"),
            None => finding,
        });
    }
}
