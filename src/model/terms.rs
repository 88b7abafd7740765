//! The shop's words.

use super::{Entry, Head, Kind, Prose};
use crate::text::Located;

/// A preferred word.
#[derive(Debug, Clone)]
pub struct Term {
    pub head: Head,
    pub word: Located<String>,
    pub meaning: Prose,
    /// Words not to write for it.
    pub avoid: Vec<Located<String>>,
    /// Words technicians say; search knows them.
    pub also_said: Vec<Located<String>>,
}

impl Entry for Term {
    const KIND: Kind = Kind::Term;

    fn head(&self) -> &Head {
        &self.head
    }

    fn title(&self) -> &str {
        &self.word
    }
}
