//! Background notes.

use super::{Entry, Head, Kind, Prose};
use crate::text::Located;

/// A page of background; its id is the name of its file.
#[derive(Debug, Clone)]
pub struct Note {
    pub head: Head,
    pub title: Located<String>,
    pub body: Prose,
}

impl Entry for Note {
    const KIND: Kind = Kind::Note;

    fn head(&self) -> &Head {
        &self.head
    }

    fn title(&self) -> &str {
        &self.title
    }
}
