//! `avoided-term`

use super::wordlist::{Wordlist, words};
use crate::inspect::{Rule, Subject};
use crate::model::{Guide, Kind, ProseRole, ProseSite, Term};
use crate::read::visible::visible;
use crate::report::{Finding, Level, RuleInfo};
use crate::text::Located;

const NAME: &str = "avoided-term";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "writing",
        level: Level::Warning,
        matters: "Two words for one thing read like two things, to somebody who is looking for a third.",
        page: include_str!("avoided-term.md"),
        softenable: true,
    },
    check: Some(check),
};

/// A word to avoid, and the term that says so.
type Avoided<'g> = (&'g Located<String>, &'g Term);

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let (avoided, preferred) = lists(subject.guide);
    for site in subject.guide.index.prose.iter().filter(|site| site.role != ProseRole::Quoted) {
        for range in visible(&site.text) {
            let text = site.text.get(range.clone()).unwrap_or("");
            for (range, (word, term)) in hits(text, range.start, &avoided, &preferred) {
                if !is_own_record(site, term) {
                    found.push(finding(site, range, word, term));
                }
            }
        }
    }
}

fn lists(guide: &Guide) -> (Wordlist<Avoided<'_>>, Wordlist<()>) {
    let (mut avoided, mut preferred) = (Wordlist::new(), Wordlist::new());
    for term in &guide.terms {
        preferred.add(&term.word, ());
        for word in &term.avoid {
            avoided.add(word, (word, term));
        }
    }
    (avoided, preferred)
}

/// Avoided words of a text; those inside a longer preferred word ("pump" in "pump unit") do not count.
fn hits<'g>(
    text: &str,
    offset: usize,
    avoided: &Wordlist<Avoided<'g>>,
    preferred: &Wordlist<()>,
) -> Vec<(std::ops::Range<usize>, Avoided<'g>)> {
    let words = words(text, offset);
    let mut hits = Vec::new();
    let mut at = 0;
    while let Some(rest) = words.get(at..).filter(|rest| !rest.is_empty()) {
        let good = preferred.longest(rest).map_or(0, |(length, ())| length);
        let bad = avoided.longest(rest);
        if let Some((length, avoided)) = bad.filter(|(length, _)| *length >= good) {
            if let (Some(first), Some(last)) = (rest.first(), rest.get(length - 1)) {
                hits.push((first.range.start..last.range.end, avoided));
            }
            at += length;
        } else {
            at += good.max(1);
        }
    }
    hits
}

/// A term may explain itself with the words it avoids.
fn is_own_record(site: &ProseSite, term: &Term) -> bool {
    site.from.as_ref().is_some_and(|from| from.kind == Kind::Term && from.id == term.head.id.value)
}

fn finding(site: &ProseSite, range: std::ops::Range<usize>, word: &Located<String>, term: &Term) -> Finding {
    let said = site.text.get(range.clone()).unwrap_or(word);
    let wrong = format!("\"{said}\" is a word this guide avoids.");
    let remedy =
        format!("Write \"{}\". Put words of customers into `also_said`, or between quotation marks.", term.word.value);
    let place = if site.exact { site.span.inner(range) } else { site.span };
    Finding::new(NAME, place, wrong, remedy).with(word.span, "where the term list avoids it")
}
