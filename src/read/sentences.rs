//! Sentences and their lengths, for the writing rules.
//!
//! Words are counted in the manner of ASD-STE100 (cited from memory; where memory is not sure, this is our reading):
//! a hyphenated word, a figure with its unit, a code, a link without words and a text in quotation marks count one
//! each; a text in parentheses is a sentence of its own and adds nothing to the one around it.
//!
//! A sentence ends at `.`, `!` or `?` before a space, at an empty line and at the end of its block. A dot inside a
//! figure or a name ends nothing, nor does the dot of a common abbreviation or of a list number.

use std::ops::Range;

use pulldown_cmark::{Event, Parser, Tag, TagEnd};

use crate::model::quantity::Quantity;

/// One sentence.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sentence {
    /// Bytes of the text that was given.
    pub range: Range<usize>,
    /// Its length; never 0.
    pub words: usize,
}

/// Abbreviations that are never the last word of a sentence.
const NEVER_LAST: [&str; 12] =
    ["e.g.", "i.e.", "cf.", "vs.", "approx.", "ca.", "fig.", "figs.", "incl.", "excl.", "resp.", "dia."];

/// Abbreviations that end a sentence only before a capital letter.
const MAY_BE_LAST: [&str; 12] =
    ["in.", "ft.", "lb.", "oz.", "etc.", "max.", "min.", "temp.", "press.", "vol.", "ref.", "nom."];

/// Words that a text in quotation marks may have; a mark that stays open must not swallow the sentence.
const LONGEST_QUOTE: usize = 12;

/// The sentences of a plain text, in order of their first byte.
pub fn sentences(text: &str) -> Vec<Sentence> {
    let asides = asides(text);
    let mut found = split(&without(text, &asides));
    for aside in asides {
        let inner = aside.start + 1..aside.end - 1;
        let inside = split(text.get(inner.clone()).unwrap_or(""));
        found.extend(inside.into_iter().map(|sentence| sentence.moved(inner.start)));
    }
    found.sort_by_key(|sentence| (sentence.range.start, sentence.range.end));
    found
}

/// The sentences of a Markdown text; ranges are bytes of the Markdown. Code blocks hold none.
pub fn prose_sentences(markdown: &str) -> Vec<Sentence> {
    let mut found = Vec::new();
    let mut block = Block::default();
    let mut hidden = 0_usize;
    for (event, range) in Parser::new_ext(markdown, super::prose::options()).into_offset_iter() {
        match event {
            Event::Start(Tag::CodeBlock(_) | Tag::Image { .. }) => hidden += 1,
            Event::End(TagEnd::CodeBlock | TagEnd::Image) => hidden = hidden.saturating_sub(1),
            _ if hidden > 0 => {}
            Event::Text(words) => block.push_text(&words, range, markdown),
            Event::Code(_) => block.push_word(range),
            Event::SoftBreak | Event::HardBreak => block.push(" ", range),
            Event::Start(Tag::Link { .. }) => block.link = Some(block.plain.len()),
            Event::End(TagEnd::Link) => block.end_link(range),
            Event::Start(Tag::Emphasis | Tag::Strong) | Event::End(TagEnd::Emphasis | TagEnd::Strong) => {}
            Event::Start(_) | Event::End(_) | Event::Rule => block.flush(&mut found),
            _ => {}
        }
    }
    block.flush(&mut found);
    found
}

impl Sentence {
    fn moved(self, by: usize) -> Self {
        Self { range: self.range.start + by..self.range.end + by, words: self.words }
    }
}

/// The words of one block, and where each piece of them stands in the Markdown.
#[derive(Default)]
struct Block {
    plain: String,
    pieces: Vec<Piece>,
    /// Where the words of the open link begin.
    link: Option<usize>,
}

struct Piece {
    plain: Range<usize>,
    source: Range<usize>,
    /// True where both hold the same bytes.
    same: bool,
}

impl Block {
    fn push(&mut self, words: &str, source: Range<usize>) {
        let start = self.plain.len();
        self.plain.push_str(words);
        self.pieces.push(Piece { plain: start..self.plain.len(), source, same: false });
    }

    fn push_text(&mut self, words: &str, source: Range<usize>, markdown: &str) {
        let same = markdown.get(source.clone()) == Some(words);
        self.push(words, source);
        if let Some(piece) = self.pieces.last_mut() {
            piece.same = same;
        }
    }

    /// Something that counts as one word whatever it holds.
    fn push_word(&mut self, source: Range<usize>) {
        self.push("X", source);
    }

    fn end_link(&mut self, source: Range<usize>) {
        if self.link.take() == Some(self.plain.len()) {
            self.push_word(source);
        }
    }

    fn flush(&mut self, found: &mut Vec<Sentence>) {
        let block = std::mem::take(self);
        found.extend(sentences(&block.plain).into_iter().map(|sentence| block.placed(&sentence)));
    }

    fn placed(&self, sentence: &Sentence) -> Sentence {
        let first = self.piece_at(sentence.range.start);
        let last = self.piece_at(sentence.range.end.saturating_sub(1));
        let start = first.map_or(0, |piece| match piece.same {
            true => piece.source.start + (sentence.range.start - piece.plain.start),
            false => piece.source.start,
        });
        let end = last.map_or(start, |piece| match piece.same {
            true => piece.source.start + (sentence.range.end - piece.plain.start),
            false => piece.source.end,
        });
        Sentence { range: start..end.max(start), words: sentence.words }
    }

    fn piece_at(&self, offset: usize) -> Option<&Piece> {
        let after = self.pieces.partition_point(|piece| piece.plain.end <= offset);
        self.pieces.get(after)
    }
}

/// The outermost texts in parentheses, with them. `valve(s)` is a word, and an open parenthesis that stays open is none.
fn asides(text: &str) -> Vec<Range<usize>> {
    let mut open: Vec<(usize, bool)> = Vec::new();
    let mut found: Vec<Range<usize>> = Vec::new();
    let mut before = ' ';
    for (at, letter) in text.char_indices() {
        match letter {
            '(' => open.push((at, !before.is_alphanumeric())),
            ')' => {
                if let Some((start, true)) = open.pop() {
                    while found.last().is_some_and(|inner| inner.start > start) {
                        found.pop();
                    }
                    found.push(start..at + 1);
                }
            }
            _ => {}
        }
        before = letter;
    }
    found
}

/// The text with spaces in the place of some of its parts.
fn without(text: &str, parts: &[Range<usize>]) -> String {
    let mut out = String::with_capacity(text.len());
    let mut done = 0;
    for part in parts {
        out.push_str(text.get(done..part.start).unwrap_or(""));
        out.extend(std::iter::repeat_n(' ', part.len()));
        done = part.end;
    }
    out.push_str(text.get(done..).unwrap_or(""));
    out
}

struct Token<'t> {
    at: usize,
    text: &'t str,
    /// True where an empty line follows.
    parted: bool,
}

impl Token<'_> {
    fn end(&self) -> usize {
        self.at + self.text.len()
    }
}

fn split(text: &str) -> Vec<Sentence> {
    let tokens = tokens(text);
    let mut found = Vec::new();
    let mut first = 0;
    for (at, token) in tokens.iter().enumerate() {
        let next = tokens.get(at + 1);
        if next.is_none() || token.parted || ends_sentence(token.text, next.map_or("", |next| next.text), at == first) {
            let inside = tokens.get(first..=at).unwrap_or(&[]);
            let words = count(inside);
            if let (Some(start), true) = (inside.first(), words > 0) {
                found.push(Sentence { range: start.at..token.end(), words });
            }
            first = at + 1;
        }
    }
    found
}

fn tokens(text: &str) -> Vec<Token<'_>> {
    let mut found: Vec<Token<'_>> = Vec::new();
    for word in text.split_whitespace() {
        // Words are slices of the text, so their distance in memory is their place in it.
        let at = word.as_ptr() as usize - text.as_ptr() as usize;
        if let Some(last) = found.last_mut() {
            let gap = text.get(last.end()..at).unwrap_or("");
            last.parted = gap.bytes().filter(|byte| *byte == b'\n').count() > 1;
        }
        found.push(Token { at, text: word, parted: false });
    }
    found
}

fn ends_sentence(word: &str, next: &str, first: bool) -> bool {
    let bare = word.trim_end_matches(['"', '\'', '”', '’', '»', ')', ']', '*', '_']);
    if bare.ends_with(['!', '?']) {
        return true;
    }
    let next_letter = next.chars().find(|letter| letter.is_alphanumeric());
    let goes_on = next_letter.is_some_and(char::is_lowercase);
    if bare.ends_with('…') || bare.ends_with("...") {
        return !goes_on;
    }
    let Some(stem) = bare.strip_suffix('.') else { return false };
    let known = bare.trim_start_matches(['"', '(', '“', '[']).to_lowercase();
    let list_number = first && !stem.is_empty() && stem.bytes().all(|byte| byte.is_ascii_digit());
    let numbered = matches!(known.as_str(), "no." | "nos.") && next_letter.is_some_and(char::is_numeric);
    let short = MAY_BE_LAST.contains(&known.as_str()) && !next_letter.is_some_and(char::is_uppercase);
    !(list_number || numbered || short || NEVER_LAST.contains(&known.as_str()))
}

fn count(tokens: &[Token<'_>]) -> usize {
    let mut words = 0;
    let mut rest = tokens;
    while let Some(token) = rest.first() {
        let used = quoted(rest).or_else(|| measured(rest)).unwrap_or(1);
        words += usize::from(used > 1 || token.text.contains(char::is_alphanumeric));
        rest = rest.get(used..).unwrap_or(&[]);
    }
    words
}

/// How many tokens a text in quotation marks takes.
fn quoted(tokens: &[Token<'_>]) -> Option<usize> {
    let first = tokens.first()?.text;
    let mut letters = first.chars();
    let close = match letters.next()? {
        '"' => '"',
        '“' | '„' => '”',
        '«' => '»',
        _ => return None,
    };
    let ends = |text: &str| text.trim_end_matches(['.', ',', ';', ':', '!', '?', ')']).ends_with(close);
    let last = tokens.iter().take(LONGEST_QUOTE).enumerate().position(|(at, token)| {
        // The opening mark itself does not close.
        ends(if at == 0 { letters.as_str() } else { token.text })
    });
    last.map(|last| last + 1)
}

/// How many tokens a figure and its unit take.
fn measured(tokens: &[Token<'_>]) -> Option<usize> {
    let number = tokens.first()?.text.trim_start_matches(['(', '[']);
    if !number.starts_with(|letter: char| letter.is_ascii_digit() || matches!(letter, '+' | '-' | '−')) {
        return None;
    }
    [2_usize, 1].into_iter().find_map(|length| {
        let unit: Vec<&str> = tokens.get(1..=length)?.iter().map(|token| token.text).collect();
        let unit = unit.join(" ");
        let unit = unit.trim_end_matches(['.', ',', ';', ':', '!', '?', ')', ']', '"']);
        Quantity::parse(&format!("{number} {unit}")).ok().map(|_| length + 1)
    })
}

#[cfg(test)]
mod tests;
