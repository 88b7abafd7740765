//! Values that name their source and may differ by variant.

use super::{Id, Link, Reference, Variant, applies};
use crate::text::{Located, Span};

/// Where a value comes from: a source of the guide and the place in it ("section 4.2").
#[derive(Debug, Clone)]
pub struct Cited {
    /// The source, or a bulletin, by id.
    pub source: Link<Reference>,
    /// Page, section or table, as written after the first comma.
    pub place: Option<String>,
}

/// A value with its source, for some variants or all.
#[derive(Debug, Clone)]
pub struct Sourced<T> {
    /// The value.
    pub value: Located<T>,
    /// Its source; `value-without-source` reports a missing one.
    pub source: Option<Cited>,
    /// The variants it holds for; `None` means every variant.
    pub variants: Option<Vec<Link<Variant>>>,
    /// The whole record.
    pub span: Span,
}

/// A value as it differs by variant: one record for all, or one for each group of variants.
pub type Varied<T> = Vec<Sourced<T>>;

impl<T> Sourced<T> {
    /// True where the value holds for a variant.
    pub fn holds_for(&self, variant: &Id<Variant>) -> bool {
        applies(self.variants.as_deref(), variant)
    }
}
