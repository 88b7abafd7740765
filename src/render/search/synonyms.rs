//! The shop's words for a thing, as a query looks them up.

use super::Synonym;
use super::terms::{Stemmer, root};
use super::words::words;
use serde::Serialize;
use std::collections::BTreeMap;
use std::sync::LazyLock;

/// How well the preferred word stands for another, and any other for any.
const PREFERRED: f64 = 0.95;
const OTHER: f64 = 0.25;
/// How well `down` stands for `not up`.
const OPPOSITE: f64 = 0.8;

/// Words of which the one is what the other is not.
static OPPOSITES: LazyLock<Vec<(String, String)>> =
    LazyLock::new(|| serde_json::from_str(include_str!("opposites.json")).unwrap_or_default());

/// Another phrase for a phrase, and how well it stands for it.
#[derive(Serialize)]
pub struct OtherWords(pub Vec<String>, pub f64);

/// From the roots of a phrase to the other phrases for it; from a turned root, `!up`, to the opposite.
pub fn synonym_table(entries: &[Synonym], stemmer: &Stemmer) -> BTreeMap<String, Vec<OtherWords>> {
    let mut table: BTreeMap<String, Vec<OtherWords>> = BTreeMap::new();
    for (one, other) in OPPOSITES.iter() {
        for (from, to) in [(one, other), (other, one)] {
            let terms = vec![to.clone()];
            table.entry(format!("!{}", stemmer.stem(from))).or_default().push(OtherWords(terms, OPPOSITE));
        }
    }
    let mut add = |from: &str, to: &str, weight: f64| {
        let key = words(from).iter().map(|w| root(w, stemmer)).collect::<Vec<_>>().join(" ");
        let terms: Vec<String> = words(to).into_iter().map(|w| w.term).collect();
        if !key.is_empty() && !terms.is_empty() && key != terms.join(" ") {
            table.entry(key).or_default().push(OtherWords(terms, weight));
        }
    };
    for entry in entries {
        let others: Vec<&String> = entry.avoided.iter().chain(&entry.said).collect();
        for other in &others {
            add(other, &entry.preferred, PREFERRED);
            add(&entry.preferred, other, OTHER);
            others.iter().filter(|third| *third != other).for_each(|third| add(other, third, OTHER));
        }
    }
    table
}
