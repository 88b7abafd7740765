//! Which words stand next to each other on a page, in their order, as a small filter for phrases in quotes.
//!
//! Weak words are skipped. A page that has the pair always passes; a page that has not passes seldom.

use super::encode::{number_length, number_of, push_number, push_steps};
use super::terms::{Stemmer, root};
use super::words::Word;
use std::collections::BTreeSet;

/// Marks to choose from for each pair of a page: 1 page in so many passes wrongly. Steps of more take longer numbers.
const MARKS: u32 = 700;

/// Adds the hashes of all neighbours among `words` to `pairs`.
pub fn note_pairs(pairs: &mut BTreeSet<u32>, words: &[Word], stemmer: &Stemmer) {
    let roots: Vec<String> = words.iter().filter(|word| !word.is_weak()).map(|word| root(word, stemmer)).collect();
    pairs.extend(roots.windows(2).map(|pair| hash(&pair[0], &pair[1])));
}

/// FNV-1a (32 bits) over the UTF-16 units of both words with a space between.
pub fn hash(first: &str, second: &str) -> u32 {
    let units = first.encode_utf16().chain([u16::from(b' ')]).chain(second.encode_utf16());
    units.fold(0x811c_9dc5, |hash: u32, unit| (hash ^ u32::from(unit)).wrapping_mul(0x0100_0193))
}

/// Appends one page's neighbours: the length of what follows in digits, how many there are, and the steps between their marks.
pub fn push_filter(text: &mut String, pairs: &BTreeSet<u32>) {
    let mut marks: Vec<u32> = pairs.iter().map(|hash| mark(*hash, pairs.len())).collect();
    marks.sort_unstable();
    let mut steps = String::new();
    push_steps(&mut steps, &marks);
    push_number(text, steps.len());
    text.push_str(&steps);
}

/// Whether a filter, with its length before it, has all pairs; an empty one has none.
pub fn passes(filter: &str, pairs: &[u32]) -> bool {
    let digits: Vec<char> = filter.chars().collect();
    let mut numbers = Numbers { digits: &digits };
    let count = numbers.nth(1).unwrap_or(0);
    let mut last = 0;
    let marks: BTreeSet<usize> = numbers
        .map(|step| {
            last += step;
            last
        })
        .collect();
    count > 0 && pairs.iter().all(|hash| marks.contains(&(mark(*hash, count) as usize)))
}

/// What stands for a pair on a page with so many.
fn mark(hash: u32, count: usize) -> u32 {
    let marks = u64::from(MARKS) * count.max(1) as u64;
    u32::try_from(u64::from(hash) % marks).unwrap_or(hash)
}

/// Reads numbers from digits.
struct Numbers<'a> {
    digits: &'a [char],
}

impl Iterator for Numbers<'_> {
    type Item = usize;

    fn next(&mut self) -> Option<usize> {
        let length = number_length(*self.digits.first()?);
        let (number, rest) = self.digits.split_at_checked(length)?;
        self.digits = rest;
        Some(number_of(number))
    }
}

#[cfg(test)]
mod tests {
    use super::super::words::words;
    use super::*;

    #[test]
    fn a_filter_knows_its_pairs() {
        let (stemmer, mut pairs) = (Stemmer::new(), BTreeSet::new());
        note_pairs(&mut pairs, &words("turn off the pump"), &stemmer);
        assert_eq!(pairs, BTreeSet::from([hash("turn", "off"), hash("off", "pump")]));
        let mut text = String::new();
        push_filter(&mut text, &pairs);
        assert!(passes(&text, &[hash("turn", "off"), hash("off", "pump")]));
        assert!(!passes(&text, &[hash("pump", "off")]), "turned round");
        let mut empty = String::new();
        push_filter(&mut empty, &BTreeSet::new());
        assert!(empty.len() == 2 && !passes(&empty, &[hash("turn", "off")]));
    }
}
