//! From documents to the files to publish.

use super::files::{Pages, is_small, write};
use super::impact::impacts;
use super::language::{SharedNotes, empty_index};
use super::phrases::push_filter;
use super::readback::Counts;
use super::terms::WEAK_MARK;
use super::{Document, Guide, encode};
use rayon::prelude::*;
use std::collections::BTreeMap;

/// The library's letter trees are large; so many pages at a time keep memory small.
const BATCH: usize = 256;
/// A weak word tells something in running text where at most one page in so many has it.
const RARE: usize = 8;

/// Why no index could be made.
#[derive(Debug, thiserror::Error)]
pub enum BuildError {
    #[error("the guide has {0} pages, more than the search index can number ({max})", max = encode::LARGEST)]
    TooManyPages(usize),
    #[error("the search index could not be read back: {0}")]
    ReadBack(#[from] serde_json::Error),
}

/// The search files of `guide` as (path under the guide's root, bytes), sorted by path.
///
/// The same guide gives the same bytes in any order of its documents and on any number of threads. Where two documents
/// share an address, the first in the guide is taken.
pub fn build(guide: &Guide) -> Result<Vec<(String, Vec<u8>)>, BuildError> {
    let documents = in_order(&guide.documents);
    let counts = index_parts(&documents)?;
    let pages = Pages {
        documents: &documents,
        kinds: &guide.kinds,
        synonyms: &guide.synonyms,
        surfaces: &counts.surfaces,
        filters: &counts.filters,
    };
    Ok(write(&pages, &impacts(&counts)))
}

/// Pages are numbered by address.
pub fn in_order(documents: &[Document]) -> Vec<&Document> {
    let mut sorted: Vec<&Document> = documents.iter().collect();
    sorted.sort_by(|a, b| a.url.cmp(&b.url));
    sorted.dedup_by(|later, first| later.url == first.url);
    sorted
}

/// Counts the terms of `documents`, which are in order.
pub fn index_parts(documents: &[&Document]) -> Result<Counts, BuildError> {
    if documents.len() > encode::LARGEST {
        return Err(BuildError::TooManyPages(documents.len()));
    }
    let small = is_small(documents.len());
    let parts: Vec<Counts> = documents
        .par_chunks(BATCH)
        .enumerate()
        .map(|(batch, documents)| count_batch(batch * BATCH, documents, small))
        .collect::<Result<_, _>>()?;
    let mut counts = Counts::default();
    parts.into_iter().for_each(|part| counts.merge(part));
    counts.forget_common(WEAK_MARK, documents.len() / RARE);
    Ok(counts)
}

fn count_batch(first: usize, documents: &[&Document], body_pairs: bool) -> Result<Counts, serde_json::Error> {
    let notes = SharedNotes::default();
    notes.borrow_mut().body_pairs = body_pairs;
    let mut index = empty_index(&notes);
    let mut filters = BTreeMap::new();
    for (page, document) in (first..).zip(documents) {
        let Document { title, also, codes, body, .. } = document;
        index.add_doc(&page.to_string(), [title, also, codes, body, codes]);
        let mut filter = String::new();
        push_filter(&mut filter, &std::mem::take(&mut notes.borrow_mut().pairs));
        filters.extend(u32::try_from(page).ok().map(|page| (page, filter)));
    }
    let counts = Counts::of(&index)?;
    Ok(Counts { surfaces: notes.take().surfaces, filters, ..counts })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn guide(order: impl Iterator<Item = usize>) -> Guide {
        let document = |n: usize| Document {
            url: format!("faults/f{n}.html"),
            title: format!("The canopy stops at {n} mm"),
            codes: format!("P-{n}"),
            body: "Bleed the pump, then fit hose M8x1.25.".repeat(n % 7),
            ..Document::default()
        };
        Guide { documents: order.map(document).collect(), ..Guide::default() }
    }

    #[test]
    fn order_and_threads_do_not_matter() {
        let on = |threads, guide: Guide| {
            let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
            pool.install(|| build(&guide).unwrap())
        };
        assert_eq!(on(1, guide(0..600)), on(4, guide((0..600).rev())));
    }

    #[test]
    fn a_small_guide_is_one_file_and_a_large_one_many() {
        assert_eq!(build(&guide(0..3)).unwrap().len(), 1);
        let large = build(&guide(0..1001)).unwrap();
        assert!(large.iter().any(|(path, _)| path == "search/index.js"));
        assert!(large.iter().any(|(path, _)| path == "search/s1.js"));
    }
}
