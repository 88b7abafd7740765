//! Writes the index as script files that fill one global, `guideIndex`.

use super::encode::{DIGITS, digit, push_front_coded, push_number, push_postings, push_steps};
use super::impact::Postings;
use super::synonyms::{OtherWords, synonym_table};
use super::tables::WRITTEN;
use super::terms::Stemmer;
use super::{Document, Kind, Synonym};
use serde::Serialize;
use std::collections::{BTreeMap, BTreeSet};

/// Up to so many pages everything is in one file, with a hint for each page.
const ONE_FILE: usize = 1000;
/// The file that pages load first: all of a small index, the root of a large one.
pub const ENTRY: &str = "search/index.js";
/// Length at which a shard of postings is full.
const SHARD: usize = 8 * 1024;
/// Pages whose titles are one text, whose filters are one shard, and whose addresses are front-coded from nothing.
const STRETCH: usize = 128;
/// How far from a stem a word with the same postings is looked for.
const BESIDE: usize = 16;
/// Postings no longer than this are cheaper written again.
const SHORT: usize = 4;
/// A hint is cut after so many characters.
const HINT: usize = 160;

/// What the pages bring besides their terms.
pub struct Pages<'a> {
    pub documents: &'a [&'a Document],
    pub kinds: &'a [Kind],
    pub synonyms: &'a [Synonym],
    /// Words met as written.
    pub surfaces: &'a BTreeSet<String>,
    /// Each page's filter of neighbours.
    pub filters: &'a BTreeMap<u32, String>,
}

/// The root object; its fields are described where the query script reads them.
#[derive(Serialize)]
struct Root<'a> {
    pages: usize,
    urls: Vec<String>,
    titles: Vec<String>,
    hints: Vec<String>,
    kinds: Vec<(&'a str, u16, bool)>,
    kind: String,
    variants: Sets<'a>,
    tags: Sets<'a>,
    related: String,
    synonyms: Vec<(String, Vec<OtherWords>)>,
    tables: &'a serde_json::Value,
    terms: Vec<&'a str>,
    shards: Vec<usize>,
    stretch: usize,
    body_pairs: bool,
}

/// A property of pages of which few different lists occur; each page's number of its list has as many digits.
#[derive(Serialize)]
struct Sets<'a> {
    lists: Vec<&'a [String]>,
    of: String,
}

/// Whether so many pages go in one file.
pub fn is_small(pages: usize) -> bool {
    pages <= ONE_FILE
}

/// The files, sorted by path.
pub fn write(pages: &Pages, impacts: &BTreeMap<&str, Postings>) -> Vec<(String, Vec<u8>)> {
    let small = is_small(pages.documents.len());
    let shards = shards(impacts, pages.surfaces);
    let synonyms = synonym_table(pages.synonyms, |term| impacts.contains_key(term), &Stemmer::new());
    let root = root(pages, &shards, small, synonyms);
    let mut root_text = format!("var guideIndex=guideIndex||{{}};guideIndex.root={};\n", script_value(&root));
    let mut shard_texts = named("s", shards.into_iter().map(|shard| shard.postings));
    let filters: Vec<&str> = pages.filters.values().map(String::as_str).collect();
    shard_texts.extend(named("p", filters.chunks(STRETCH).map(|filters| filters.concat())));
    if small {
        shard_texts.iter().for_each(|(_, text)| root_text.push_str(text));
        return vec![(ENTRY.to_owned(), root_text.into_bytes())];
    }
    let shard_file = |(name, text): (String, String)| (format!("search/{name}.js"), text.into_bytes());
    let mut files: Vec<_> = shard_texts.into_iter().map(shard_file).collect();
    files.push((ENTRY.to_owned(), root_text.into_bytes()));
    files.sort();
    files
}

/// Shards with their names, as statements.
fn named(letter: &str, shards: impl Iterator<Item = String>) -> Vec<(String, String)> {
    let statement = |(n, text)| (format!("{letter}{n}"), format!("guideIndex.{letter}{n}=\"{text}\";\n"));
    shards.enumerate().map(statement).collect()
}

/// JSON that is also a script expression and safe inside a script element.
fn script_value(value: &impl Serialize) -> String {
    let json = serde_json::to_string(value).unwrap_or_else(|_| "null".to_owned());
    json.replace('<', "\\u003c").replace('\u{2028}', "\\u2028").replace('\u{2029}', "\\u2029")
}

struct Shard {
    first_term: usize,
    terms: String,
    postings: String,
}

/// A term with its postings as text.
pub struct Term<'a> {
    pub term: &'a str,
    pub postings: String,
    /// It was met as written, not only as a stem.
    pub written: bool,
}

/// The terms (sorted by UTF-16 units, as scripts compare) and their postings, shard by shard.
///
/// Terms are front-coded, in each shard from nothing, so that it can be read alone. Each is followed by twice the length of its postings, plus one where it was never met as written. A stem with
/// the same postings as a word beside it has length 0, and then twice the distance, plus one where the word is before it.
fn shards(impacts: &BTreeMap<&str, Postings>, surfaces: &BTreeSet<String>) -> Vec<Shard> {
    let sorted = sorted_terms(impacts, surfaces);
    let mut shards: Vec<Shard> = Vec::new();
    let mut open = Shard::from(0);
    let mut before = "";
    for (number, term) in sorted.iter().enumerate() {
        if open.postings.len() >= SHARD {
            shards.push(std::mem::replace(&mut open, Shard::from(number)));
            before = "";
        }
        open.push(before, term, same_beside(&sorted, number));
        before = term.term;
    }
    if !sorted.is_empty() {
        shards.push(open);
    }
    shards
}

impl Shard {
    fn from(first_term: usize) -> Self {
        Shard { first_term, terms: String::new(), postings: String::new() }
    }

    fn push(&mut self, before: &str, term: &Term, beside: Option<usize>) {
        push_front_coded(&mut self.terms, before, term.term);
        self.terms.push(' ');
        if let Some(distance) = beside {
            push_number(&mut self.terms, 1);
            push_number(&mut self.terms, distance);
        } else {
            push_number(&mut self.terms, term.postings.len() * 2 + usize::from(!term.written));
            self.postings.push_str(&term.postings);
        }
    }
}

/// The terms in the order of the term list.
pub fn sorted_terms<'a>(impacts: &BTreeMap<&'a str, Postings>, surfaces: &BTreeSet<String>) -> Vec<Term<'a>> {
    let mut sorted: Vec<Term> = impacts
        .iter()
        .map(|(term, postings)| {
            let mut text = String::new();
            push_postings(&mut text, postings);
            Term { term, postings: text, written: surfaces.contains(*term) }
        })
        .collect();
    sorted.sort_by(|a, b| a.term.encode_utf16().cmp(b.term.encode_utf16()));
    sorted
}

/// Where a word with the postings of stem number `at` stands, as written in the term list.
fn same_beside(sorted: &[Term], at: usize) -> Option<usize> {
    let stem = sorted.get(at).filter(|term| !term.written && term.postings.len() > SHORT)?;
    let same = |place: usize| sorted.get(place).is_some_and(|term| term.written && term.postings == stem.postings);
    let near = |distance: usize| {
        let after = same(at + distance).then_some(distance * 2);
        after.or_else(|| at.checked_sub(distance).is_some_and(same).then_some(distance * 2 + 1))
    };
    (1..=BESIDE).find_map(near)
}

fn root<'a>(
    pages: &Pages<'a>,
    shards: &'a [Shard],
    small: bool,
    synonyms: BTreeMap<String, Vec<OtherWords>>,
) -> Root<'a> {
    let documents = pages.documents;
    Root {
        pages: documents.len(),
        urls: urls(documents),
        titles: stretches(documents, |document| one_line(&document.title, usize::MAX)),
        hints: if small { stretches(documents, hint) } else { Vec::new() },
        kinds: pages.kinds.iter().map(|kind| (kind.id.as_str(), kind.boost, kind.is_work)).collect(),
        kind: documents.iter().map(|document| kind_digit(pages.kinds, document)).collect(),
        variants: sets(documents, |document| &document.variants),
        tags: sets(documents, |document| &document.tags),
        related: related(documents),
        synonyms: synonyms.into_iter().collect(),
        tables: &WRITTEN,
        terms: shards.iter().map(|shard| shard.terms.as_str()).collect(),
        shards: shards.iter().map(|shard| shard.first_term).collect(),
        stretch: STRETCH,
        body_pairs: small,
    }
}

/// A line for each page, in stretches.
fn stretches(documents: &[&Document], line: impl Fn(&Document) -> String) -> Vec<String> {
    let lines_of = |part: &[&Document]| part.iter().map(|document| line(document)).collect::<Vec<_>>().join("\n");
    documents.chunks(STRETCH).map(lines_of).collect()
}

fn urls(documents: &[&Document]) -> Vec<String> {
    documents.chunks(STRETCH).map(front_coded_urls).collect()
}

fn front_coded_urls(part: &[&Document]) -> String {
    let mut text = String::new();
    let mut before = "";
    for (nth, document) in part.iter().enumerate() {
        if nth > 0 {
            text.push('\n');
        }
        push_front_coded(&mut text, before, &document.url);
        before = &document.url;
    }
    text
}

fn one_line(text: &str, most: usize) -> String {
    let line = text.split_whitespace().collect::<Vec<_>>().join(" ");
    match line.char_indices().nth(most) {
        Some((end, _)) => format!("{}…", &line[..end]),
        None => line,
    }
}

/// What a page is also known by, shown under its title: each code and each saying by itself.
fn hint(document: &Document) -> String {
    let names = document.codes.lines().chain(document.also.lines());
    let names: Vec<String> = names.map(|name| one_line(name, HINT)).filter(|name| !name.is_empty()).collect();
    one_line(&names.join(" · "), HINT)
}

fn kind_digit(kinds: &[Kind], document: &Document) -> char {
    digit(kinds.iter().position(|kind| kind.id == document.kind).unwrap_or(kinds.len()))
}

fn sets<'a>(documents: &[&'a Document], list: impl Fn(&'a Document) -> &'a Vec<String>) -> Sets<'a> {
    let mut numbers: BTreeMap<&[String], usize> = documents.iter().map(|d| (list(d).as_slice(), 0)).collect();
    numbers.values_mut().enumerate().for_each(|(n, number)| *number = n);
    let width = digits_of(numbers.len().saturating_sub(1));
    let mut of = String::new();
    for document in documents {
        let number = numbers.get(list(document).as_slice()).copied().unwrap_or(0);
        of.extend((0..width).rev().map(|place| digit(number / DIGITS.pow(place))));
    }
    Sets { lists: numbers.into_keys().collect(), of }
}

/// How many digits a number takes.
fn digits_of(number: usize) -> u32 {
    number.checked_ilog(DIGITS).unwrap_or(0) + 1
}

fn related(documents: &[&Document]) -> String {
    let number = |url: &String| documents.binary_search_by(|d| d.url.cmp(url)).ok().and_then(|n| u32::try_from(n).ok());
    let mut text = String::new();
    for document in documents {
        let mut numbers: Vec<u32> = document.related.iter().filter_map(number).collect();
        numbers.sort_unstable();
        numbers.dedup();
        push_steps(&mut text, &numbers);
    }
    text
}
