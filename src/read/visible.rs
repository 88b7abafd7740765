//! The words of a Markdown text that a reader sees as the writer's own: no code, no targets of links, no quotations.

use std::ops::Range;

use pulldown_cmark::{Event, Parser, Tag, TagEnd};

/// Words that a quotation may have; a mark that stays open must not swallow the text.
const LONGEST_QUOTATION: usize = 12;

/// Ranges of the text that hold words of the writer, in order.
pub fn visible(markdown: &str) -> Vec<Range<usize>> {
    let mut found: Vec<Range<usize>> = Vec::new();
    let mut hidden = 0_usize;
    for (event, range) in Parser::new_ext(markdown, super::prose::options()).into_offset_iter() {
        match event {
            Event::Start(Tag::CodeBlock(_)) => hidden += 1,
            Event::End(TagEnd::CodeBlock) => hidden = hidden.saturating_sub(1),
            Event::Text(_) if hidden == 0 => match found.last_mut() {
                Some(last) if last.end == range.start => last.end = range.end,
                _ => found.push(range),
            },
            _ => {}
        }
    }
    found.into_iter().flat_map(|range| unquoted(markdown, range)).collect()
}

/// The parts of a range that stand outside quotation marks.
fn unquoted(text: &str, range: Range<usize>) -> Vec<Range<usize>> {
    let mut parts = Vec::new();
    let mut from = range.start;
    let mut at = range.start;
    while let Some((open, close)) = next_mark(text, at, range.end) {
        match closing(text, open, close, range.end) {
            Some(end) => {
                parts.push(from..open);
                from = end;
                at = end;
            }
            None => at = after(text, open),
        }
    }
    parts.push(from..range.end);
    parts
}

fn next_mark(text: &str, from: usize, to: usize) -> Option<(usize, char)> {
    let marks = text.get(from..to)?.char_indices().filter_map(|(at, letter)| match letter {
        '"' => Some((from + at, '"')),
        '“' | '„' => Some((from + at, '”')),
        '«' => Some((from + at, '»')),
        _ => None,
    });
    marks.into_iter().next()
}

fn closing(text: &str, open: usize, close: char, to: usize) -> Option<usize> {
    let inner = text.get(after(text, open)..to)?;
    let end = inner.find(close)?;
    let short = inner.get(..end)?.split_whitespace().count() <= LONGEST_QUOTATION;
    short.then(|| after(text, after(text, open) + end))
}

/// One past the letter at a place.
fn after(text: &str, at: usize) -> usize {
    at + text.get(at..).and_then(|rest| rest.chars().next()).map_or(1, char::len_utf8)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn seen(text: &str) -> Vec<&str> {
        visible(text).into_iter().map(|range| &text[range]).collect()
    }

    #[test]
    fn code_targets_and_quotations_are_not_the_writers_words() {
        assert_eq!(seen("Top up `juice` at the [pump](part:juice-pump)."), ["Top up ", " at the ", "pump", "."]);
        assert_eq!(seen("He says \"more juice\" to it."), ["He says ", " to it."]);
        assert_eq!(seen("Ein „Saft” hier"), ["Ein ", " hier"]);
    }

    #[test]
    fn a_mark_that_stays_open_hides_nothing() {
        assert_eq!(seen("A 3/8\" hose"), ["A 3/8\" hose"]);
    }
}
