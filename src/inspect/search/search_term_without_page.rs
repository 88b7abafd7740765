//! `search-term-without-page`

use crate::inspect::{Rule, Subject};
use crate::model::Term;
use crate::report::{Finding, Level, RuleInfo};
use crate::text::Span;

const NAME: &str = "search-term-without-page";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "search",
        level: Level::Warning,
        matters: "The word is promised in the list of terms, and searching for it leads to no work.",
        page: include_str!("search-term-without-page.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let idle = subject.findable.into_iter().flat_map(|findable| &findable.idle);
    for (term, word) in idle {
        let Some(term) = subject.guide.terms.find(&term.id) else { continue };
        let wrong = format!("No page is found by \"{word}\", only the list of terms.");
        let remedy = "Use the preferred word on the page that is about it, or take the word out.";
        found.push(Finding::new(NAME, span_of(term, word), wrong, remedy));
    }
}

/// Where a word of a term stands.
fn span_of(term: &Term, word: &str) -> Span {
    let words = std::iter::once(&term.word).chain(&term.also_said).chain(&term.avoid);
    words.into_iter().find(|known| known.value == word).map_or(term.head.id.span, |known| known.span)
}
