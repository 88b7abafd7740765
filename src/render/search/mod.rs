//! The search index: tokens, ranking, and the compact files the query script reads.
//!
//! [`build`] turns documents into files; [`listing`] gives the A to Z page its entries.

mod build;
mod chunks;
mod encode;
mod files;
mod impact;
mod language;
mod listing;
mod normal;
mod phrases;
mod quantity;
mod query;
mod readback;
mod synonyms;
mod tables;
mod terms;
mod words;

pub use build::{BuildError, build};
pub use files::ENTRY;
pub use listing::{Letter, listing};
pub use query::{Answer, Finder, Hit, Options};

use serde::Deserialize;

/// The terms that `text` is indexed under, weak words included.
pub fn text_terms(text: &str) -> Vec<String> {
    terms::index_terms(text, true, &terms::Stemmer::new(), &mut language::Notes::default())
}

/// One page as the search sees it. All texts are plain text, not markup.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(default)]
pub struct Document {
    /// Address relative to the guide's root; one document each.
    pub url: String,
    /// Id of a [`Kind`].
    pub kind: String,
    pub title: String,
    /// The symptom and other words for it, or other names of the part; one a line.
    pub also: String,
    /// Controller codes, part numbers, hose marks; one a line.
    pub codes: String,
    pub body: String,
    /// Ids of the variants the page holds for; empty means all.
    pub variants: Vec<String>,
    /// Addresses of pages that belong to this one: the repair of a fault, the part of a repair.
    pub related: Vec<String>,
    /// Short remarks shown with the result, such as the recalibration tag.
    pub tags: Vec<String>,
}

/// A kind of page and how much sooner a technician would want it, in percent (100 is neutral).
#[derive(Debug, Clone, PartialEq, Eq, Deserialize)]
pub struct Kind {
    pub id: String,
    pub boost: u16,
    /// Its pages tell how something is done.
    #[serde(default)]
    pub is_work: bool,
}

/// A preferred word with the words to avoid for it and what technicians say instead.
#[derive(Debug, Clone, Default, PartialEq, Eq, Deserialize)]
#[serde(default)]
pub struct Synonym {
    pub preferred: String,
    pub avoided: Vec<String>,
    pub said: Vec<String>,
}

/// Everything the index is made from.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(default)]
pub struct Guide {
    pub documents: Vec<Document>,
    pub kinds: Vec<Kind>,
    pub synonyms: Vec<Synonym>,
}
