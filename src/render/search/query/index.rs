//! An index in memory, as the query script sees it after reading all files.

use super::super::build::{BuildError, in_order, index_parts};
use super::super::files::{is_small, sorted_terms};
use super::super::impact::{Postings, impacts};
use super::super::phrases::passes;
use super::super::quantity::log2;
use super::super::synonyms::{OtherWords, synonym_table};
use super::super::terms::{Stemmer, root};
use super::super::words::words;
use super::super::{Document, Guide, Kind};
use std::collections::BTreeMap;

/// How much sooner pages that tell how something is done come where a query begins with a verb for it.
const WORK_GAIN: f64 = 1.25;

/// A term with its pages.
pub struct Term {
    pub text: String,
    /// Met as written, not only as a stem.
    pub written: bool,
    /// Length of the postings as text, which stands for how frequent the term is.
    pub length: usize,
    pub postings: Postings,
    pub rarity: f64,
}

/// Answers queries on one guide.
pub struct Finder {
    pub(super) documents: Vec<Document>,
    pub(super) kinds: Vec<Kind>,
    /// Sorted by UTF-16 units.
    pub(super) terms: Vec<Term>,
    pub(super) related: Vec<Vec<usize>>,
    pub(super) title_roots: Vec<Vec<String>>,
    pub(super) synonyms: BTreeMap<String, Vec<OtherWords>>,
    pub(super) stemmer: Stemmer,
    filters: BTreeMap<u32, String>,
}

impl Finder {
    /// Indexes `guide` as [`super::super::build`] does.
    pub fn of(guide: &Guide) -> Result<Self, BuildError> {
        let documents = in_order(&guide.documents);
        let counts = index_parts(&documents)?;
        let impacts = impacts(&counts);
        let terms = sorted_terms(&impacts, &counts.surfaces).into_iter().map(|term| {
            let postings = impacts.get(term.term).cloned().unwrap_or_default();
            let rarity = rarity(documents.len(), postings.len());
            Term { text: term.term.to_owned(), written: term.written, length: term.postings.len(), postings, rarity }
        });
        let stemmer = Stemmer::new();
        Ok(Finder {
            terms: terms.collect(),
            related: documents.iter().map(|document| related(&documents, document)).collect(),
            title_roots: documents.iter().map(|document| title_roots(&document.title, &stemmer)).collect(),
            synonyms: synonym_table(&guide.synonyms, |term| impacts.contains_key(term), &stemmer),
            kinds: guide.kinds.clone(),
            documents: documents.into_iter().cloned().collect(),
            filters: counts.filters,
            stemmer,
        })
    }

    /// Number of pages.
    pub(super) fn size(&self) -> usize {
        self.documents.len()
    }

    /// The first term not before `word`.
    pub(super) fn place(&self, word: &str) -> usize {
        self.terms.partition_point(|term| term.text.encode_utf16().lt(word.encode_utf16()))
    }

    /// The number of a term.
    pub(super) fn find(&self, word: &str) -> Option<usize> {
        let at = self.place(word);
        self.terms.get(at).is_some_and(|term| term.text == word).then_some(at)
    }

    /// The terms of a phrase, if all are known.
    pub(super) fn find_all<T: AsRef<str>>(&self, phrase: &[T]) -> Option<Vec<usize>> {
        let found: Option<Vec<usize>> = phrase.iter().map(|term| self.find(term.as_ref())).collect();
        found.filter(|terms| !terms.is_empty())
    }

    /// How much sooner a page's kind is wanted, as a factor; by who asks how something is done, if `asks_for_work`.
    pub(super) fn boost(&self, page: usize, asks_for_work: bool) -> f64 {
        let kind = self.kinds.iter().find(|kind| self.documents.get(page).is_some_and(|d| d.kind == kind.id));
        kind.map_or(1.0, |kind| {
            f64::from(kind.boost) / 100.0 * if asks_for_work && kind.is_work { WORK_GAIN } else { 1.0 }
        })
    }

    /// Whether a page may have all pairs of neighbours.
    pub(super) fn has_pairs(&self, page: usize, pairs: &[u32]) -> bool {
        let filter = u32::try_from(page).ok().and_then(|page| self.filters.get(&page));
        filter.is_some_and(|filter| passes(filter, pairs))
    }

    /// Whether neighbours in the body count.
    pub(super) fn is_small(&self) -> bool {
        is_small(self.size())
    }
}

fn rarity(pages: usize, with_term: usize) -> f64 {
    let (pages, with_term) = (pages as f64, with_term as f64);
    log2(1.0 + (pages - with_term + 0.5) / (with_term + 0.5))
}

fn related(documents: &[&Document], document: &Document) -> Vec<usize> {
    let place = |url: &String| documents.binary_search_by(|d| d.url.cmp(url)).ok();
    let mut places: Vec<usize> = document.related.iter().filter_map(place).collect();
    places.sort_unstable();
    places.dedup();
    places
}

/// The roots of the strong words of a title; of all where none is strong.
fn title_roots(title: &str, stemmer: &Stemmer) -> Vec<String> {
    let all = words(title);
    let roots = |weak: bool| all.iter().filter(|w| weak || !w.is_weak()).map(|w| root(w, stemmer)).collect();
    let strong: Vec<String> = roots(false);
    if strong.is_empty() { roots(true) } else { strong }
}
