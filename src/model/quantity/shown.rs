//! Quantities as text, in both systems of units.
//!
//! A converted value keeps the precision of the figure it comes from: as many digits, and one more where its first
//! digit is the smaller one (after the rounding advice of NIST Special Publication 811, B.7, cited from memory); never
//! fewer than two. A temperature keeps the place of its last digit instead, because its zero lies where the scale puts
//! it: -18 °C is 0 °F, not -0.40 °F. Halves round to even.

use num_traits::{CheckedMul, Signed, Zero};

use super::units::by_symbol;
use super::{Dimension, Exact, Quantity, System, Unit, float};
use crate::model::UnitsFirst;

/// Between a number and its unit: they must not be torn apart at the end of a line.
const JOIN: char = '\u{a0}';

/// A quantity as text: in the first system, and in the second where that differs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    pub first: String,
    pub second: Option<String>,
}

impl Quantity {
    /// As it was written, in tidy spelling.
    pub fn written(&self) -> String {
        joined(&self.number.written, self.unit)
    }

    /// In both systems, the one asked for first. The figure that was written is never changed.
    pub fn shown(&self, first: UnitsFirst) -> Shown {
        let written = self.written();
        let Some(converted) = self.converted() else { return Shown { first: written, second: None } };
        let written_first = match first {
            UnitsFirst::Si => self.unit.system == System::Si,
            UnitsFirst::Us => self.unit.system == System::Us,
        };
        let (first, second) = if written_first { (written, converted) } else { (converted, written) };
        Shown { first, second: Some(second) }
    }

    /// In the unit's counterpart of the other system; `None` where both systems use the same unit.
    pub fn converted(&self) -> Option<String> {
        self.shown_in(by_symbol(self.unit.counterpart)?)
    }

    /// In another unit of its dimension, with the precision of the figure that was written.
    pub fn shown_in(&self, unit: &Unit) -> Option<String> {
        let value = self.in_unit(unit)?;
        let number = if self.dimension() == Dimension::Temperature {
            to_places(value, self.number.places)
        } else {
            rounded(value, digits_for(self.number.value, value, self.number.digits))
        };
        Some(joined(&number, unit))
    }
}

/// A value with at most so many places behind the point, halves to even, without zeros at its end.
pub fn plain(value: Exact, places: u8) -> String {
    let text = to_places(value, i32::from(places));
    if !text.contains('.') {
        return text;
    }
    let short = text.trim_end_matches('0').trim_end_matches('.');
    if matches!(short, "-0" | "") { "0".to_owned() } else { short.to_owned() }
}

fn joined(number: &str, unit: &Unit) -> String {
    let symbol = unit.symbol.replace(' ', &JOIN.to_string());
    if unit.symbol == "°" { format!("{number}°") } else { format!("{number}{JOIN}{symbol}") }
}

fn digits_for(written: Exact, converted: Exact, digits: usize) -> usize {
    let more = first_digit(converted) < first_digit(written);
    (digits + usize::from(more)).max(2)
}

fn first_digit(value: Exact) -> u8 {
    let text = rounded(value.abs(), 3);
    text.bytes().find(|byte| (b'1'..=b'9').contains(byte)).map_or(0, |byte| byte - b'0')
}

/// A value rounded half to even to a number of significant digits, as a plain decimal.
pub(super) fn rounded(value: Exact, digits: usize) -> String {
    if value.is_zero() {
        return "0".to_owned();
    }
    let size = float(value.abs()).log10().floor() as i32;
    let wanted = i32::try_from(digits).unwrap_or(15) - 1 - size;
    let text = to_places(value, wanted);
    // 9.96 to two digits is 10, not 10.0: rounding up may add a digit.
    let grown = text.bytes().filter(u8::is_ascii_digit).collect::<Vec<_>>();
    let significant = grown.iter().skip_while(|digit| **digit == b'0').count();
    if wanted > 0 && significant > digits { to_places(value, wanted - 1) } else { text }
}

/// A value rounded half to even to a number of places behind the point, or before it where that is negative.
fn to_places(value: Exact, places: i32) -> String {
    placed(value, places).unwrap_or_else(|| format!("{:e}", float(value)))
}

fn placed(value: Exact, places: i32) -> Option<String> {
    let shift = 10_i128.checked_pow(places.unsigned_abs())?;
    if places < 0 {
        let whole = half_to_even(value.checked_mul(&Exact::new(1, shift))?)?;
        return whole.checked_mul(shift).map(|whole| whole.to_string());
    }
    let whole = half_to_even(value.checked_mul(&Exact::from_integer(shift))?)?;
    match usize::try_from(places).ok()? {
        0 => Some(whole.to_string()),
        places => Some(with_point(whole, places)),
    }
}

fn with_point(whole: i128, places: usize) -> String {
    let digits = format!("{:0>width$}", whole.unsigned_abs(), width = places + 1);
    let (front, back) = digits.split_at(digits.len() - places);
    let sign = if whole < 0 { "-" } else { "" };
    format!("{sign}{front}.{back}")
}

/// The nearest whole number. Written with whole-number division: the fraction's own `floor` may overflow.
fn half_to_even(value: Exact) -> Option<i128> {
    let (floor, rest) = (value.numer().div_euclid(*value.denom()), value.numer().rem_euclid(*value.denom()));
    let up = match rest.cmp(&(value.denom() - rest)) {
        std::cmp::Ordering::Less => 0,
        std::cmp::Ordering::Greater => 1,
        std::cmp::Ordering::Equal => floor.rem_euclid(2),
    };
    floor.checked_add(up)
}
