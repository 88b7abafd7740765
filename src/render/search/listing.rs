//! The A to Z list: what the search form leads to where no script runs.

use super::Document;
use super::normal::fold;
use std::collections::BTreeMap;

/// The pages whose titles begin with one letter.
#[derive(Debug, PartialEq, Eq)]
pub struct Letter<'a> {
    /// The letter in upper case, or `#` for titles that begin with a digit or a sign.
    pub letter: String,
    pub pages: Vec<&'a Document>,
}

/// All pages by first letter; `#` first, then by letter; inside, by title, then by address.
///
/// Case and accents do not count for the order; leading articles do.
pub fn listing(documents: &[Document]) -> Vec<Letter<'_>> {
    let mut letters: BTreeMap<String, Vec<(String, &Document)>> = BTreeMap::new();
    for document in documents {
        let folded = fold(&document.title);
        letters.entry(first_letter(&folded)).or_default().push((folded, document));
    }
    letters.into_iter().map(|(letter, pages)| Letter { letter, pages: sorted(pages) }).collect()
}

fn first_letter(folded: &str) -> String {
    match folded.trim_start().chars().next().filter(|c| c.is_alphabetic()) {
        Some(letter) => letter.to_uppercase().collect(),
        None => "#".to_owned(),
    }
}

fn sorted(mut pages: Vec<(String, &Document)>) -> Vec<&Document> {
    pages.sort_by(|(a, x), (b, y)| (a, &x.url).cmp(&(b, &y.url)));
    pages.into_iter().map(|(_, document)| document).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn pages_stand_under_their_letter() {
        let page = |title: &str, url: &str| Document { title: title.into(), url: url.into(), ..Document::default() };
        let pages = [page("pump", "b"), page("Ölstand", "c"), page("Pump", "a"), page("24 V supply", "d")];
        let listed: Vec<(String, Vec<&str>)> =
            listing(&pages).into_iter().map(|l| (l.letter, l.pages.iter().map(|p| p.url.as_str()).collect())).collect();
        assert_eq!(listed, [("#".into(), vec!["d"]), ("O".into(), vec!["c"]), ("P".into(), vec!["a", "b"])]);
    }
}
