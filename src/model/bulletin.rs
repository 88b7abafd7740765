//! Service bulletins.

use jiff::civil::Date;

use super::{Entry, Head, Kind, Link, Prose};
use crate::text::Located;

/// A dated notice and the entries it touches.
#[derive(Debug, Clone)]
pub struct Bulletin {
    /// The id is the bulletin's number in kebab-case.
    pub head: Head,
    /// The number as printed ("SB-07").
    pub number: Located<String>,
    pub title: Located<String>,
    pub date: Located<Date>,
    /// What changed.
    pub says: Prose,
    /// Entries it touches, as `kind:id`.
    pub touches: Vec<Located<(Kind, String)>>,
    pub supersedes: Vec<Link<Bulletin>>,
}

impl Entry for Bulletin {
    const KIND: Kind = Kind::Bulletin;

    fn head(&self) -> &Head {
        &self.head
    }

    fn title(&self) -> &str {
        &self.title
    }
}
