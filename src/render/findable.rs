//! What searching the pages of a guide does not find.

use std::collections::BTreeMap;

use rayon::prelude::*;

use super::search::{Finder, Options};
use super::{address, documents};
use crate::model::{EntryKey, Guide, Kind, Term};
use crate::reason::{Facts, Findable};

/// The largest guide in which every page is searched for: twice as many pages take four times as long.
const MOST_PAGES: usize = 1000;

/// Searches for every page by its title, and for every word of the terms. A guide too large for an index has none.
pub fn findable(guide: &Guide, facts: &Facts) -> Findable {
    let Ok(finder) = Finder::of(&documents::guide_of(guide, facts)) else { return Findable::default() };
    let entries = guide.entries();
    let pages: BTreeMap<String, EntryKey> = entries
        .iter()
        .filter_map(|entry| {
            let key = EntryKey { kind: entry.kind, id: entry.head.id.value.clone() };
            Some((address::of(key.kind, &key.id)?, key))
        })
        .collect();
    let lost = if pages.len() > MOST_PAGES { Vec::new() } else { finder.lost() };
    let lost = lost.into_iter().filter_map(|(page, first)| {
        let page = pages.get(&page).filter(|page| page.kind != Kind::Term)?;
        Some((page.clone(), first.and_then(|first| pages.get(&first).cloned())))
    });
    let terms: Vec<&Term> = guide.terms.iter().collect();
    let idle = terms.par_iter().flat_map_iter(|term| idle_words(&finder, term)).collect();
    Findable { lost: lost.collect(), idle }
}

/// The preferred word, where no page has it; else the other words that lead to no page.
fn idle_words(finder: &Finder, term: &Term) -> Vec<(EntryKey, String)> {
    let key = EntryKey { kind: Kind::Term, id: term.head.id.value.clone() };
    let idle = |word: &str| !leads_to_a_page(finder, word);
    let preferred = idle(&term.word).then(|| term.word.value.clone());
    let others = term.also_said.iter().chain(&term.avoid).filter(|word| preferred.is_none() && idle(word));
    let mut words: Vec<String> = others.map(|word| word.value.clone()).collect();
    words.extend(preferred);
    words.sort();
    words.dedup();
    words.into_iter().map(|word| (key.clone(), word)).collect()
}

/// Whether a page that is not the list of terms has every word, as typed and not as it might have been meant.
fn leads_to_a_page(finder: &Finder, word: &str) -> bool {
    let options = Options { finished: true, whole_phrases: true, limit: usize::MAX, ..Options::default() };
    let answer = finder.search(word, &options);
    let page = |hit: &super::search::Hit| hit.missing.is_empty() && !hit.url.starts_with("terms.html#");
    answer.read.is_empty() && answer.hits.iter().any(page)
}
