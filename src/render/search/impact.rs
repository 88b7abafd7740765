//! BM25F impacts in eight levels, with the fields' weights as they were chosen on the judged questions.

use super::language::FIELDS;
use super::readback::Counts;
use std::collections::BTreeMap;

/// How much one mention in a field counts, in the order of [`FIELDS`].
const WEIGHTS: [f64; FIELDS.len()] = [10.0, 4.0, 8.0, 1.0, 2.0];
/// The same for a term with a digit: a code among other names is a code.
const CODED: [f64; FIELDS.len()] = [10.0, 6.0, 8.0, 1.0, 2.0];
/// How strongly a field longer than the average is discounted.
const LENGTH: [f64; FIELDS.len()] = [0.6, 0.5, 0.2, 0.85, 0.0];
/// Where a term's mentions stop adding up.
const SATURATION: f64 = 2.0;
/// Levels of one term's impact on one page.
pub const LEVELS: u8 = 8;

/// A term's pages: page number and level 0 to 7, by page.
pub type Postings = Vec<(u32, u8)>;

/// The postings of every term.
pub fn impacts(counts: &Counts) -> BTreeMap<&str, Postings> {
    let mean = mean_lengths(counts);
    let of_term = |term: &str, pages: &BTreeMap<u32, [u32; FIELDS.len()]>| {
        let weights = if term.bytes().any(|b| b.is_ascii_digit()) { &CODED } else { &WEIGHTS };
        pages.iter().map(|(page, times)| (*page, level(weights, times, counts.lengths.get(page), &mean))).collect()
    };
    counts.terms.iter().map(|(term, pages)| (term.as_str(), of_term(term, pages))).collect()
}

/// Average length of each field over the pages where it is not empty; never zero.
fn mean_lengths(counts: &Counts) -> [f64; FIELDS.len()] {
    std::array::from_fn(|field| {
        let lengths = counts.lengths.values().map(|lengths| u64::from(lengths[field])).filter(|length| *length > 0);
        let (pages, total) = lengths.fold((0u64, 0u64), |(pages, total), length| (pages + 1, total + length));
        if pages == 0 { 1.0 } else { total as f64 / pages as f64 }
    })
}

fn level(
    weights: &[f64; FIELDS.len()],
    times: &[u32; FIELDS.len()],
    lengths: Option<&[u32; FIELDS.len()]>,
    mean: &[f64; FIELDS.len()],
) -> u8 {
    let mut weight = 0.0;
    for field in 0..FIELDS.len() {
        let length = lengths.map_or(0.0, |lengths| f64::from(lengths[field]));
        let stretch = 1.0 - LENGTH[field] + LENGTH[field] * length / mean[field];
        weight += weights[field] * f64::from(times[field]) / stretch;
    }
    let impact = weight / (weight + SATURATION);
    ((impact * f64::from(LEVELS)).ceil() as u8).clamp(1, LEVELS) - 1
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_title_outweighs_the_body() {
        let mean = [4.0, 6.0, 2.0, 100.0, 1.0];
        let lengths = Some(&[4, 6, 2, 100, 0]);
        let title = level(&WEIGHTS, &[1, 0, 0, 0, 0], lengths, &mean);
        let body = level(&WEIGHTS, &[0, 0, 0, 1, 0], lengths, &mean);
        assert!(title > body + 2, "{title} {body}");
        assert_eq!(level(&WEIGHTS, &[99, 99, 99, 99, 99], lengths, &mean), 7);
    }
}
