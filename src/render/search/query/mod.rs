//! The query side of the search in Rust: the rule that wants every page found by its own title asks here, and the
//! script must give the same answers bit for bit.
//!
//! Scores are plain IEEE arithmetic in a fixed order on both sides; change both together.

mod groups;
mod index;
mod mend;
mod rank;

pub use index::Finder;

use serde::{Deserialize, Serialize};

/// What to leave out and how much to give.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub struct Options {
    /// Only this kind.
    pub kind: Option<String>,
    /// Only pages that hold for this variant.
    pub variant: Option<String>,
    /// At most so many hits; 0 means 20.
    pub limit: usize,
    /// The last word is whole; do not complete it.
    pub finished: bool,
    /// Only the whole of a phrase stands for it, not its words one by one. For judging a guide; the script does without.
    pub whole_phrases: bool,
}

/// What was found.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Answer {
    pub hits: Vec<Hit>,
    /// How many pages there are in all.
    pub total: usize,
    /// Words as typed and as read instead.
    pub read: Vec<(String, String)>,
    /// Words that no page has.
    pub unknown: Vec<String>,
    /// A page has every word.
    pub whole: bool,
    /// Whether a page has the words in quotes side by side; `None` without quotes.
    pub phrase: Option<bool>,
}

/// One page found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Hit {
    /// Number of the page in order of addresses.
    pub page: usize,
    pub url: String,
    pub score: f64,
    /// The terms by which it was found.
    pub terms: Vec<String>,
    /// Words of the query that it lacks.
    pub missing: Vec<String>,
    /// A related page that has them.
    pub through: Option<usize>,
}

#[cfg(test)]
mod tests {
    use super::super::{Document, Guide, Kind, Synonym};
    use super::*;

    fn finder() -> Finder {
        let page = |url: &str, title: &str, also: &str, codes: &str, body: &str| Document {
            url: url.into(),
            kind: "fault".into(),
            title: title.into(),
            also: also.into(),
            codes: codes.into(),
            body: body.into(),
            ..Document::default()
        };
        let said = vec!["howler".to_owned()];
        Finder::of(&Guide {
            documents: vec![
                page("slow", "The canopy rises slowly", "tired canopy", "P-12", "Tighten the bleed screw to 8 Nm."),
                page("on", "The work lamp does not turn on", "", "E-03", "Check the fuse."),
                page("off", "The work lamp turns off", "", "E-04", "Check the relay."),
                page("pump", "Pump unit", "", "PU-204", "Torque 5.9 lbf ft."),
            ],
            kinds: vec![Kind { id: "fault".into(), boost: 110, is_work: false }],
            synonyms: vec![Synonym { preferred: "pump unit".into(), said, ..Synonym::default() }],
        })
        .unwrap()
    }

    #[test]
    fn a_word_of_a_phrase_stands_for_it_unless_the_whole_is_wanted() {
        let page = Document { url: "latch".into(), title: "Floor latch".into(), ..Document::default() };
        let deck = Synonym { preferred: "stage floor".into(), said: vec!["deck".into()], ..Synonym::default() };
        let finder = Finder::of(&Guide { documents: vec![page], kinds: Vec::new(), synonyms: vec![deck] }).unwrap();
        for query in ["deck", "stage floor"] {
            let found = |whole_phrases| {
                finder.search(query, &Options { finished: true, whole_phrases, ..Options::default() }).total
            };
            assert_eq!((found(false), found(true)), (1, 0), "{query}");
        }
    }

    #[test]
    fn the_right_page_comes_first() {
        let finder = finder();
        let first = |query: &str| finder.search(query, &Options::default()).hits.first().map(|hit| hit.url.clone());
        for (query, url) in [
            ("p 12", "slow"),
            ("canpoy slow", "slow"),
            ("lamp not on", "on"),
            ("lamp off", "off"),
            ("e3", "on"),
            ("howler", "pump"),
            ("\"bleed screw\"", "slow"),
        ] {
            assert_eq!(first(query).as_deref(), Some(url), "{query}");
        }
        assert_eq!(first("zzzzqq"), None);
        assert_eq!(finder.search("8 N m", &Options::default()).total, 2);
    }

    #[test]
    fn a_page_that_its_title_does_not_bring_up_is_named() {
        assert_eq!(finder().lost(), []);
        let page = |url: &str, title: &str| Document { url: url.into(), title: title.into(), ..Document::default() };
        let documents = vec![page("a", "Pump"), page("b", "Pump"), page("c", "!!!")];
        let finder = Finder::of(&Guide { documents, ..Guide::default() }).unwrap();
        assert_eq!(finder.lost(), [("c".to_owned(), None)]);
    }

    #[test]
    fn what_was_read_and_what_is_unknown_is_said() {
        let answer = finder().search("canpoy qqqqq", &Options { finished: true, ..Options::default() });
        assert_eq!(answer.read, [("canpoy".to_owned(), "canopy".to_owned())]);
        assert_eq!(answer.unknown, ["qqqqq"]);
        assert!(!answer.whole);
    }

    proptest::proptest! {
        #[test]
        fn no_query_panics(query in ".{0,200}", finished: bool) {
            let options = Options { finished, variant: Some("b".into()), ..Options::default() };
            finder().search(&query, &options);
        }
    }
}
