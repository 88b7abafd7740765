//! Typing errors: known words a few edits away, and words typed without their space.

use super::super::normal::unspaced;
use super::groups::{Query, units};
use super::index::Finder;
use std::cmp::Reverse;

/// At most so many words are considered for one that is not known.
const CANDIDATES: usize = 6;
/// The first letter is seldom the wrong one.
const OTHER_FIRST: f64 = 0.6;

impl Query<'_> {
    /// Adds what a group may have been meant as.
    pub fn mend(&mut self, group: usize, factor: f64) {
        let telling = self.groups.get(group).filter(|group| group.weight >= 0.5);
        let Some(word) = telling.and_then(|group| group.plain.clone()) else { return };
        if !mendable(&word) {
            return;
        }
        let index = self.index;
        for (rank, (term, edits)) in near(index, &word).into_iter().enumerate() {
            let read = index.terms[term].text.as_str();
            let first = if read.chars().next() == word.chars().next() { 1.0 } else { OTHER_FIRST };
            let weight = factor * (if edits > 1 { 0.7 } else { 0.85 }) * (1.0 - rank as f64 * 0.02) * first;
            let stem = index.stemmer.stem(read);
            self.way(group, &[read], weight, Some(read));
            if stem != read {
                self.way(group, &[&stem], weight * 0.9, Some(read));
            }
            self.mend_negations(&word, &format!("!{stem}"), weight);
        }
        if self.groups.get(group).is_some_and(|group| group.ways.is_empty()) {
            self.mend_split(group, &word, factor);
        }
    }

    fn mend_negations(&mut self, word: &str, term: &str, weight: f64) {
        let turning: Vec<usize> =
            self.negations.iter().filter(|(_, words)| words.iter().any(|w| w == word)).map(|(g, _)| *g).collect();
        turning.into_iter().for_each(|group| self.way(group, &[term], weight, None));
    }

    /// Two words typed as one.
    fn mend_split(&mut self, group: usize, word: &str, factor: f64) {
        let index = self.index;
        let known = |part: &str| index.find(part).is_some_and(|at| index.terms[at].written);
        let halves = word.char_indices().map(|(at, _)| word.split_at(at));
        let fits = |(left, right): &(&str, &str)| units(left) >= 3 && units(right) >= 2 && known(left) && known(right);
        if let Some((left, right)) = halves.into_iter().find(fits) {
            self.way(group, &[left, right], 0.8 * factor, Some(&format!("{left} {right}")));
        }
    }
}

/// Whether typing errors may be looked for: letters only, three or more.
fn mendable(term: &str) -> bool {
    units(term) > 2 && letters_only(term)
}

fn letters_only(term: &str) -> bool {
    !term.chars().any(|c| c.is_numeric() || unspaced(c))
}

/// Known words a few edits away with their edits, best first.
fn near(index: &Finder, word: &str) -> Vec<(usize, usize)> {
    let most = if units(word) > 6 { 2 } else { 1 };
    let letters = letters(word);
    let mut found: Vec<(usize, usize)> = Vec::new();
    for (at, term) in index.terms.iter().enumerate().filter(|(_, term)| term.written) {
        if units(&term.text).abs_diff(units(word)) > most || !letters_only(&term.text) {
            continue;
        }
        let edits = strsim::osa_distance(&letters, &self::letters(&term.text));
        if (1..=most).contains(&edits) {
            found.push((at, edits));
        }
    }
    let least = found.iter().map(|(_, edits)| *edits).min().unwrap_or(0);
    found.retain(|(_, edits)| *edits == least);
    let first = word.encode_utf16().next();
    let strange = |at: usize| index.terms[at].text.encode_utf16().next() != first;
    found.sort_by_key(|(at, _)| (strange(*at), Reverse(index.terms[*at].length), *at));
    found.truncate(CANDIDATES);
    found
}

/// A letter for each UTF-16 unit, as scripts count edits; halves of a letter are put beyond all letters in use.
fn letters(word: &str) -> String {
    let letter = |unit: u16| char::from_u32(unit.into()).or_else(|| char::from_u32(0x10_0000 + u32::from(unit)));
    word.encode_utf16().filter_map(letter).collect()
}
