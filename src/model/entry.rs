//! What every entry has, whatever its kind.

use jiff::civil::Date;

use super::{Bulletin, Kind, Link, Part, Variant};
use crate::text::{Located, Span};

/// The head of an entry: its id, where it holds, and how fresh it is.
#[derive(Debug, Clone)]
pub struct Head {
    /// The id, at the place it is declared.
    pub id: Located<String>,
    /// The whole record.
    pub span: Span,
    /// The variants it holds for; `None` means every variant.
    pub applies_to: Option<Vec<Link<Variant>>>,
    /// The day somebody last checked the entry against the machine.
    pub reviewed: Option<Located<Date>>,
    /// The bulletins that have been worked into the entry.
    pub bulletins: Vec<Link<Bulletin>>,
}

/// An entry: something with an id, a title and, for most kinds, a page.
pub trait Entry {
    /// The kind of the entry.
    const KIND: Kind;

    /// Id, variants and review.
    fn head(&self) -> &Head;

    /// What a reader calls it.
    fn title(&self) -> &str;

    /// The id as text.
    fn id(&self) -> &str {
        &self.head().id.value
    }
}

/// An entry of any kind, for what is done to all alike.
#[derive(Debug, Clone, Copy)]
pub struct AnyEntry<'a> {
    /// Its kind.
    pub kind: Kind,
    /// Its head.
    pub head: &'a Head,
    /// What a reader calls it.
    pub title: &'a str,
}

impl<'a, T: Entry> From<&'a T> for AnyEntry<'a> {
    fn from(entry: &'a T) -> Self {
        Self { kind: T::KIND, head: entry.head(), title: entry.title() }
    }
}

/// What an action does to parts. The order of harm: opened parts let something out, moved parts shift a load,
/// disturbed parts may lose their setting.
#[derive(Debug, Clone, Default)]
pub struct Touches {
    /// Parts taken open, so that what is inside can come out.
    pub opens: Vec<Link<Part>>,
    /// Parts that move, or are moved, while it is done.
    pub moves: Vec<Link<Part>>,
    /// Parts taken off, adjusted or replaced.
    pub disturbs: Vec<Link<Part>>,
}

impl Touches {
    /// Every part touched in any way, in the order written.
    pub fn all(&self) -> impl Iterator<Item = &Link<Part>> {
        self.opens.iter().chain(&self.moves).chain(&self.disturbs)
    }
}
