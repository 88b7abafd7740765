//! Numbers with units, brought to one term per size so that 8 N m, 8 Nm and 5.9 lbf ft meet.

use super::tables::{TABLES, Unit};
use super::words::Word;

/// A number with its unit, found among words.
#[derive(Debug, PartialEq, Eq)]
pub struct Found {
    /// Index of the number, and one past the last word of the unit.
    pub from: usize,
    pub to: usize,
    /// The unit's dimension and the number's bucket, one per number of a range.
    pub buckets: Vec<(char, i64)>,
    /// Number and unit written as one word, `25a`, where they were apart.
    pub glued: Option<String>,
}

/// All quantities among `words`, in order; they do not overlap.
pub fn quantities(words: &[Word]) -> Vec<Found> {
    let mut found = Vec::new();
    let mut at = 0;
    while at < words.len() {
        match quantity_at(words, at) {
            Some(quantity) => {
                at = quantity.to;
                found.push(quantity);
            }
            None => at += 1,
        }
    }
    found
}

/// The term of a bucket.
pub fn bucket_term(dimension: char, bucket: i64) -> String {
    format!("#{dimension}{bucket}")
}

fn quantity_at(words: &[Word], at: usize) -> Option<Found> {
    let word = &words[at];
    let (values, stump) = numbers(word)?;
    let most = if stump.is_empty() { 3 } else { 2 };
    for taken in (0..=most).rev() {
        let Some(unit_words) = words.get(at + 1..at + 1 + taken) else { continue };
        if unit_words.iter().any(|w| w.breaks) {
            continue;
        }
        let name: String = std::iter::once(stump).chain(unit_words.iter().map(|w| w.term.as_str())).collect();
        if let Some(unit) = TABLES.units.get(&name) {
            let buckets = values.iter().filter_map(|value| Some((unit.dimension, bucket(*value, *unit)?))).collect();
            let glued = (stump.is_empty() && word.parts.is_empty()).then(|| format!("{}{name}", word.term));
            return Some(Found { from: at, to: at + 1 + taken, buckets, glued });
        }
    }
    None
}

/// The numbers of a word (`40-60` has two) and the letters glued to it (`25a`).
fn numbers(word: &Word) -> Option<(Vec<f64>, &str)> {
    if !word.parts.is_empty() {
        return Some((word.parts.iter().map(|part| number(part)).collect::<Option<_>>()?, ""));
    }
    let end = word.term.find(|c: char| !(c.is_ascii_digit() || c == '.' || c == '/')).unwrap_or(word.term.len());
    let (digits, stump) = word.term.split_at(end);
    Some((vec![number(digits)?], stump))
}

fn number(text: &str) -> Option<f64> {
    match text.split_once('/') {
        Some((above, below)) => {
            let below = plain_number(below)?;
            (below > 0.0).then_some(plain_number(above)? / below)
        }
        None => plain_number(text),
    }
}

fn plain_number(text: &str) -> Option<f64> {
    let digits = |part: &str| (1..=12).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_digit());
    let fits = match text.split_once('.') {
        Some((whole, rest)) => digits(whole) && digits(rest),
        None => digits(text),
    };
    fits.then(|| text.parse().ok())?
}

/// One bucket per degree for temperatures, one per hundredth (about) for everything else.
fn bucket(value: f64, unit: Unit) -> Option<i64> {
    let size = (value - unit.zero) * unit.factor;
    if unit.dimension == 'c' {
        return Some((size + 0.5).floor() as i64);
    }
    (size > 0.0).then(|| (log2(size) * 70.0 + 0.5).floor() as i64)
}

/// Binary logarithm of a positive finite number by plain arithmetic only, so that every machine gets the same bits.
pub fn log2(mut x: f64) -> f64 {
    let mut whole = 0.0;
    while x >= 2.0 {
        x /= 2.0;
        whole += 1.0;
    }
    while x < 1.0 {
        x *= 2.0;
        whole -= 1.0;
    }
    let t = (x - 1.0) / (x + 1.0);
    let s = t * t;
    whole + 2.885390081777927 * (t * (1.0 + s * (1.0 / 3.0 + s * (0.2 + s * (1.0 / 7.0 + s * (1.0 / 9.0 + s / 11.0))))))
}

#[cfg(test)]
mod tests {
    use super::super::words::words;
    use super::*;

    fn buckets(text: &str) -> Vec<(char, i64)> {
        quantities(&words(text)).into_iter().flat_map(|found| found.buckets).collect()
    }

    #[test]
    fn the_same_torque_in_any_spelling_meets() {
        let nm = buckets("8 N m");
        assert_eq!(nm, buckets("8Nm"));
        assert_eq!(nm, buckets("8.0 N·m"));
        assert_eq!(nm, buckets("8 newton metres"));
        assert_eq!(buckets("5.9 lbf ft"), buckets("5.9 foot-pounds"));
        // 1 lbf ft is 1.3558179483 N m (NIST SP 811, from memory).
        let ft = buckets("5.9 lbf ft");
        assert!((ft[0].1 - nm[0].1).abs() <= 1);
        assert_ne!(nm, buckets("9 Nm"));
    }

    #[test]
    fn ranges_temperatures_and_strangers() {
        assert_eq!(buckets("40-60 °C"), [('c', 40), ('c', 60)]);
        assert_eq!(buckets("104 °F"), [('c', 40)]);
        assert_eq!(buckets("104 degrees Fahrenheit, 40 degrees C"), [('c', 40), ('c', 40)]);
        assert_eq!(buckets("25A, 12 doors"), buckets("25 amps"));
        assert_eq!(buckets("0 V 99999999999999 mm 1.2.3 m 1/0 m"), []);
    }

    #[test]
    fn the_logarithm_is_close() {
        for x in [1e-9, 0.3, 1.0, 1.99, 2.0, 735.5, 1e12_f64] {
            assert!((log2(x) - x.log2()).abs() < 1e-5, "{x}");
        }
    }
}
