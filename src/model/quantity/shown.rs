//! Quantities as text, in both systems of units.
//!
//! A converted value keeps the precision of the figure it comes from: as many digits, and one more where its first
//! digit is the smaller one (after the rounding advice of NIST Special Publication 811, B.7, cited from memory); never
//! fewer than two. Halves round to even.

use num_traits::{CheckedMul, Signed, Zero};

use super::units::by_symbol;
use super::{Exact, Quantity, System, Unit, float};
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
        let counterpart = by_symbol(self.unit.counterpart)?;
        let value = self.in_unit(counterpart)?;
        let digits = digits_for(self.number.value, value, self.number.digits);
        Some(joined(&rounded(value, digits), counterpart))
    }
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

fn to_places(value: Exact, places: i32) -> String {
    let shift = |power: u32| Exact::from_integer(10_i128.pow(power.min(30)));
    let scaled = match u32::try_from(places) {
        Ok(up) => value.checked_mul(&shift(up)),
        Err(_) => value.checked_mul(&shift(places.unsigned_abs()).recip()),
    };
    let Some(scaled) = scaled else { return format!("{:e}", float(value)) };
    let whole = half_to_even(scaled);
    match usize::try_from(places) {
        Ok(0) | Err(_) => (whole * 10_i128.pow(u32::try_from(-places).unwrap_or(0).min(20))).to_string(),
        Ok(places) => with_point(whole, places),
    }
}

fn with_point(whole: i128, places: usize) -> String {
    let digits = format!("{:0>width$}", whole.unsigned_abs(), width = places + 1);
    let (front, back) = digits.split_at(digits.len() - places);
    let sign = if whole < 0 { "-" } else { "" };
    format!("{sign}{front}.{back}")
}

fn half_to_even(value: Exact) -> i128 {
    let floor = value.floor().to_integer();
    let rest = value - Exact::from_integer(floor);
    match rest.cmp(&Exact::new(1, 2)) {
        std::cmp::Ordering::Less => floor,
        std::cmp::Ordering::Greater => floor + 1,
        std::cmp::Ordering::Equal => floor + floor.rem_euclid(2),
    }
}
