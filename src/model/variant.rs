//! Variants of the machine and their serial ranges.

use super::{Entry, Head, Id, Kind, Link};
use crate::text::Located;

/// One variant of the machine.
#[derive(Debug, Clone)]
pub struct Variant {
    /// Id and place.
    pub head: Head,
    /// What the plate says.
    pub name: Located<String>,
    /// The serial numbers it was built under.
    pub serials: Vec<SerialRange>,
}

/// Serial numbers from `first` to `last`, both included. The two share their letters and differ in their last number.
#[derive(Debug, Clone)]
pub struct SerialRange {
    /// The first serial number.
    pub first: Located<String>,
    /// The last; `None` while the variant is still built.
    pub last: Option<Located<String>>,
}

impl Entry for Variant {
    const KIND: Kind = Kind::Variant;

    fn head(&self) -> &Head {
        &self.head
    }

    fn title(&self) -> &str {
        &self.name
    }
}

/// True where a list of variants (`None` means every one) holds for `variant`.
pub fn applies(variants: Option<&[Link<Variant>]>, variant: &Id<Variant>) -> bool {
    variants.is_none_or(|named| named.iter().any(|link| link.value == *variant))
}
