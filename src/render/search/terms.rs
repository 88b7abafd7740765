//! The terms a text is indexed under, and the stemmer.

use super::language::Notes;
use super::phrases::note_pairs;
use super::quantity::{bucket_term, quantities};
use super::words::{Word, words};
use elasticlunr::pipeline::PipelineFn;
use elasticlunr::{Language, lang::English};
use std::collections::BTreeSet;

thread_local! {
    /// The last function of the library's pipeline; threads cannot share it.
    static LIBRARY: Option<Box<dyn PipelineFn>> = English::new().make_pipeline().queue.pop();
}

/// A number out of a code says little by itself where it has no more digits.
const SHORT: usize = 3;

/// Begins the terms of weak words in running text.
pub const WEAK_MARK: char = '~';

/// The English stemmer of the index library.
#[derive(Debug, Clone, Copy, Default)]
pub struct Stemmer;

impl Stemmer {
    pub fn new() -> Self {
        Stemmer
    }

    /// The stem of a plain word of Latin letters; everything else is its own stem.
    ///
    /// Before the library's stemmer the -ly of slowly and firmly goes (not of supply, assembly, family).
    pub fn stem(&self, word: &str) -> String {
        let stemmable = word.len() > 2 && word.bytes().all(|b| b.is_ascii_lowercase());
        let adjective = word
            .strip_suffix("ly")
            .filter(|left| left.len() > 3 && !left.ends_with(['a', 'i', 'b', 'l', 'o', 'u', 'p']));
        let word = if stemmable { adjective.unwrap_or(word) } else { word };
        let library = |word: &str| LIBRARY.with(|stem| stem.as_ref().and_then(|stem| stem.filter(word.to_owned())));
        let stem = if stemmable { library(word) } else { None };
        stem.unwrap_or_else(|| word.to_owned())
    }
}

/// Every term of `text`: words as written and as stems, compounds joined and in parts, quantities, and what a `not` turns.
///
/// Weak words like the others with `all_strong`; else each as a term of its own kind, which is never offered to a reader.
/// Other words as written are noted, and which stand together.
pub fn index_terms(text: &str, all_strong: bool, stemmer: &Stemmer, notes: &mut Notes) -> Vec<String> {
    let words = words(text);
    let mut terms = Vec::with_capacity(words.len() * 2);
    for word in &words {
        if all_strong || !word.is_weak() {
            note(&mut notes.surfaces, word);
            push_word(&mut terms, word, stemmer);
        } else {
            terms.push(weak_term(&word.term));
        }
    }
    if all_strong || notes.body_pairs {
        note_pairs(&mut notes.pairs, &words, stemmer);
    }
    for found in quantities(&words) {
        terms.extend(found.buckets.iter().map(|(dimension, bucket)| bucket_term(*dimension, *bucket)));
        terms.extend(found.glued);
    }
    let negators = (0..words.len()).filter(|at| words[*at].negates());
    terms.extend(negators.flat_map(|at| turned_by(&words, at)).map(|word| format!("!{}", root(word, stemmer))));
    terms
}

/// The terms of codes but for [`short_parts`].
pub fn code_terms(codes: &str, stemmer: &Stemmer, notes: &mut Notes) -> Vec<String> {
    let mut terms = index_terms(codes, true, stemmer, notes);
    for part in short_parts(codes) {
        if let Some(place) = terms.iter().position(|term| *term == part) {
            terms.remove(place);
        }
    }
    terms
}

/// The short numbers in codes: 12 is less than P-12 and more than 12 V in a text, 4471 is as good as DN-4471.
pub fn short_parts(codes: &str) -> Vec<String> {
    let mut terms = Vec::new();
    for part in words(codes).into_iter().flat_map(|word| word.parts) {
        if part.len() <= SHORT && part.bytes().all(|b| b.is_ascii_digit()) {
            terms.push(part);
        }
    }
    terms
}

/// The term of a weak word in running text, apart from the words and stems that are spelt alike (`us` is the stem of use).
pub fn weak_term(word: &str) -> String {
    format!("{WEAK_MARK}{word}")
}

/// The stem of a plain word; a compound stays as it is.
pub fn root(word: &Word, stemmer: &Stemmer) -> String {
    if word.parts.is_empty() { stemmer.stem(&word.term) } else { word.term.clone() }
}

fn note(surfaces: &mut BTreeSet<String>, word: &Word) {
    for term in std::iter::once(&word.term).chain(&word.parts) {
        if !surfaces.contains(term) {
            surfaces.insert(term.clone());
        }
    }
}

fn push_word(terms: &mut Vec<String>, word: &Word, stemmer: &Stemmer) {
    terms.push(word.term.clone());
    if word.parts.is_empty() {
        push_stem(terms, &word.term, stemmer);
    }
    for part in &word.parts {
        terms.push(part.clone());
        push_stem(terms, part, stemmer);
    }
}

fn push_stem(terms: &mut Vec<String>, word: &str, stemmer: &Stemmer) {
    let stem = stemmer.stem(word);
    if stem != word {
        terms.push(stem);
    }
}

/// The words that the negator at `at` turns: up to three that are not weak after it, in the same clause.
fn turned_by(words: &[Word], at: usize) -> impl Iterator<Item = &Word> {
    turned_at(words, at).into_iter().filter_map(|place| words.get(place))
}

/// Where the words stand that the negator at `at` turns.
pub fn turned_at(words: &[Word], at: usize) -> Vec<usize> {
    let after = words.iter().enumerate().skip(at + 1).take_while(|(_, word)| !word.breaks && !word.negates());
    after.filter(|(_, word)| !word.is_weak()).map(|(place, _)| place).take(3).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn terms(text: &str) -> Vec<String> {
        index_terms(text, false, &Stemmer::new(), &mut Notes::default())
    }

    #[test]
    fn surface_stem_parts_and_turned_words_are_indexed() {
        assert_eq!(terms("P-12 leaking"), ["p12", "p", "12", "leaking", "leak"]);
        let turned = ["~the", "lamp", "~does", "not", "come", "on", "fine", "!come", "!on"];
        assert_eq!(terms("The lamp does not come on. Fine"), turned);
        assert!(terms("a 25 A fuse").contains(&"25a".to_owned()));
    }

    #[test]
    fn the_vectors_shared_with_the_script_hold() {
        let vectors = include_str!("../../../tests/search-kit/vectors.json");
        let vectors: Vec<(String, Vec<String>)> = serde_json::from_str(vectors).unwrap();
        assert!(vectors.len() > 20);
        for (text, expected) in vectors {
            assert_eq!(super::super::text_terms(&text), expected, "{text}");
        }
    }
}
