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
