//! Other words for a thing, as a query looks them up: the shop's, and those that everybody uses.

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
/// How well a word of everyday or workshop English stands for one like it.
const ALIKE: f64 = 0.5;

/// Words of which the one is what the other is not.
static OPPOSITES: LazyLock<Vec<(String, String)>> =
    LazyLock::new(|| serde_json::from_str(include_str!("opposites.json")).unwrap_or_default());

/// Words that are said for each other about any machine (general English, no source).
static ALIKES: LazyLock<Vec<Vec<String>>> =
    LazyLock::new(|| serde_json::from_str(include_str!("alike.json")).unwrap_or_default());

/// Another phrase for a phrase, and how well it stands for it.
#[derive(Serialize)]
pub struct OtherWords(pub Vec<String>, pub f64);

/// From the roots of a phrase to the other phrases for it; from a turned root, `!up`, to the opposite. Of general words only
/// those that the pages have, which `is_term` tells, are led to.
pub fn synonym_table(
    entries: &[Synonym],
    is_term: impl Fn(&str) -> bool,
    stemmer: &Stemmer,
) -> BTreeMap<String, Vec<OtherWords>> {
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
    let is_known = |phrase: &str| words(phrase).iter().all(|w| is_term(&w.term) || is_term(&root(w, stemmer)));
    for group in ALIKES.iter() {
        for to in group.iter().filter(|to| is_known(to)) {
            group.iter().filter(|from| *from != to).for_each(|from| add(from, to, ALIKE));
        }
    }
    table
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn general_words_lead_to_words_of_the_pages_only() {
        let table = synonym_table(&[], |term| ["top", "up", "sink"].contains(&term), &Stemmer::new());
        let leads = |from: &str| table.get(from).map(|others| others.iter().map(|other| other.0.join(" ")).collect());
        assert_eq!(leads("sag"), Some(vec!["sink".to_owned()]));
        assert_eq!(leads("refil"), Some(vec!["top up".to_owned()]));
        assert_eq!(leads("sink"), None);
    }
}
