//! Which words stand next to each other on a page, as a small filter (B. H. Bloom, 1970), for phrases in quotes.
//!
//! Weak words are skipped. A page that has the pair always passes; a page that has not passes seldom.

use super::encode::{digit, number_length, push_number, value};
use super::terms::{Stemmer, root};
use super::words::Word;
use std::collections::BTreeSet;

/// Bits of one digit of a filter.
const DIGIT_BITS: usize = 6;
/// Bits for each pair; about 1 page in 80 passes wrongly.
const PAIR_BITS: usize = 10;
/// Places that each pair marks.
const PLACES: u32 = 4;

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

/// Appends one page's filter: its length in digits, then six bits a digit.
pub fn push_filter(text: &mut String, pairs: &BTreeSet<u32>) {
    let length = (pairs.len() * PAIR_BITS).div_ceil(DIGIT_BITS);
    let mut digits = vec![0u8; length];
    for place in pairs.iter().flat_map(|hash| places(*hash, length * DIGIT_BITS)) {
        digits[place / DIGIT_BITS] |= 1 << (place % DIGIT_BITS);
    }
    push_number(text, length);
    text.extend(digits.into_iter().map(|value| digit(usize::from(value))));
}

/// Whether a filter, with its length before it, has all pairs; an empty one has none.
pub fn passes(filter: &str, pairs: &[u32]) -> bool {
    let digits: Vec<usize> = number_end(filter).map(value).collect();
    let marked =
        |place: usize| digits.get(place / DIGIT_BITS).is_some_and(|digit| digit >> (place % DIGIT_BITS) & 1 == 1);
    !digits.is_empty() && pairs.iter().all(|hash| places(*hash, digits.len() * DIGIT_BITS).all(marked))
}

/// The digits after the number at the beginning.
fn number_end(text: &str) -> impl Iterator<Item = char> {
    text.chars().skip(text.chars().next().map_or(0, number_length))
}

/// The places that a pair marks among `bits`, which must not be zero.
pub fn places(hash: u32, bits: usize) -> impl Iterator<Item = usize> {
    let (start, step) = (hash & 0xffff, (hash >> 16) | 1);
    (0..PLACES).map(move |n| (start + n * step) as usize % bits)
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
        assert_eq!(text.len(), 5);
        push_filter(&mut text, &BTreeSet::new());
        assert_eq!(text.len(), 6);
    }
}
