//! Serial numbers as they are compared: letters first, then a number.

use crate::model::{SerialRange, Variant};

/// A serial number: what stands before its last digits, and the digits as a number.
pub(super) type Serial<'s> = (&'s str, u128);

/// A range as far as it can be compared.
pub(super) struct Range<'g> {
    pub(super) variant: &'g Variant,
    pub(super) serials: &'g SerialRange,
    pub(super) first: Serial<'g>,
    /// `None` while it is still built.
    pub(super) last: Option<Serial<'g>>,
}

impl Range<'_> {
    /// True for a number between its ends.
    pub(super) fn holds(&self, serial: Serial<'_>) -> bool {
        self.first.0 == serial.0 && self.first.1 <= serial.1 && self.last.is_none_or(|last| serial.1 <= last.1)
    }
}

/// The ranges of variants, but for those with a number of which nothing can be said.
pub(super) fn ranges<'g>(variants: impl IntoIterator<Item = &'g Variant>) -> Vec<Range<'g>> {
    let variants = variants.into_iter();
    variants.flat_map(|variant| variant.serials.iter().filter_map(move |serials| range(variant, serials))).collect()
}

fn range<'g>(variant: &'g Variant, serials: &'g SerialRange) -> Option<Range<'g>> {
    let last = match &serials.last {
        Some(last) => Some(serial(last)?),
        None => None,
    };
    Some(Range { variant, serials, first: serial(&serials.first)?, last })
}

/// `None` where a number does not end in digits: nothing can be said of it.
pub(super) fn serial(text: &str) -> Option<Serial<'_>> {
    let digits = text.bytes().rev().take_while(u8::is_ascii_digit).count();
    let (letters, number) = text.split_at_checked(text.len().checked_sub(digits)?)?;
    Some((letters, number.parse().ok()?))
}
