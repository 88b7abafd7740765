//! Quantities: a number, a unit and the kind of thing measured. Values are exact; nothing is rounded until it is shown.
//!
//! Pressures are gauge pressures unless the unit says `abs`. A temperature difference is a kind of its own: `5 K`,
//! `9 Δ°F`.

mod dimension;
mod number;
mod shown;
#[cfg(test)]
mod tests;
mod units;

use std::cmp::Ordering;
use std::fmt;

use num_rational::Ratio;
use num_traits::{CheckedAdd, CheckedDiv, CheckedMul, CheckedSub};

pub use dimension::Dimension;
pub use shown::{Shown, plain};
pub use units::{System, Unit, of_dimension as units_of, squeezed};

/// An exact value in the SI base of its dimension.
pub type Exact = Ratio<i128>;

/// A measured or prescribed value.
#[derive(Debug, Clone)]
pub struct Quantity {
    base: Exact,
    unit: &'static Unit,
    number: number::Number,
}

/// Why a text is not a quantity.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum QuantityError {
    #[error("it begins with no number.")]
    NoNumber,
    #[error("the number \"{0}\" cannot be read.")]
    BadNumber(String),
    #[error("it has no unit.")]
    NoUnit,
    #[error("no unit is written \"{unit}\".")]
    UnknownUnit { unit: String, nearest: Option<&'static str> },
    #[error("the number is too large or too fine to be kept exactly.")]
    TooLarge,
    #[error("it lies below the zero of an absolute scale.")]
    BelowZero,
}

impl QuantityError {
    /// What to write instead.
    pub fn remedy(&self) -> String {
        match self {
            Self::NoNumber | Self::NoUnit => "Write a number and its unit, such as \"40 mm\".".to_owned(),
            Self::BadNumber(number) if number.contains(',') => {
                "Write a decimal point, and no commas between thousands, such as \"2.5 mm\".".to_owned()
            }
            Self::BadNumber(_) => "Write digits with a decimal point, or a fraction such as \"1/4 in\".".to_owned(),
            Self::UnknownUnit { nearest: Some(unit), .. } => format!("Write `{unit}`, if that was meant."),
            Self::UnknownUnit { nearest: None, .. } => {
                format!("Write one of the known units: {}.", units::symbols().join(", "))
            }
            Self::TooLarge => "Write it with fewer digits or in a larger unit.".to_owned(),
            Self::BelowZero => {
                "Write a temperature above -273.15 °C, or an absolute pressure above 0 bar abs.".to_owned()
            }
        }
    }
}

impl Quantity {
    /// Reads a number and its unit, such as `40 mm`, `-40 °C`, `1/4 in`, `2.5 bar abs`.
    ///
    /// # Errors
    /// [`QuantityError`] says what is missing or cannot be read; nothing is guessed.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        let (digits, rest) = number::split(text.trim());
        if digits.is_empty() {
            return Err(QuantityError::NoNumber);
        }
        let number = number::Number::parse(digits)?;
        let written = rest.trim();
        if written.is_empty() {
            return Err(QuantityError::NoUnit);
        }
        let unit = units::find(written).ok_or_else(|| QuantityError::UnknownUnit {
            unit: written.chars().take(40).collect(),
            nearest: units::nearest(written),
        })?;
        let base = unit.to_base(number.value).ok_or(QuantityError::TooLarge)?;
        let absolute = matches!(unit.dimension, Dimension::Temperature | Dimension::AbsolutePressure);
        if absolute && base < Exact::from_integer(0) {
            return Err(QuantityError::BelowZero);
        }
        Ok(Self { base, unit, number })
    }

    /// What is measured.
    pub fn dimension(&self) -> Dimension {
        self.unit.dimension
    }

    /// The unit it was written in.
    pub fn unit(&self) -> &'static Unit {
        self.unit
    }

    /// The exact value in the SI base unit of its dimension.
    pub fn base(&self) -> Exact {
        self.base
    }

    /// The value in a unit of the same dimension; `None` where the dimensions differ.
    pub fn in_unit(&self, unit: &Unit) -> Option<Exact> {
        if unit.dimension == self.dimension() { unit.value_of(self.base) } else { None }
    }

    /// The value in the unit it was written in, for computing with.
    pub fn as_written(&self) -> f64 {
        float(self.number.value)
    }

    /// The value in the SI base unit, for computing with.
    pub fn to_f64(&self) -> f64 {
        float(self.base)
    }

    /// The sum, in the unit of the first; `None` where the dimensions differ or it grows too large.
    pub fn plus(&self, other: &Self) -> Option<Self> {
        self.combined(other, CheckedAdd::checked_add)
    }

    /// The difference, in the unit of the first; `None` where the dimensions differ or it grows too large.
    pub fn minus(&self, other: &Self) -> Option<Self> {
        self.combined(other, CheckedSub::checked_sub)
    }

    fn combined(&self, other: &Self, work: fn(&Exact, &Exact) -> Option<Exact>) -> Option<Self> {
        if self.dimension() != other.dimension() || self.dimension() == Dimension::Temperature {
            return None;
        }
        let base = work(&self.base, &other.base)?;
        let value = self.unit.value_of(base)?;
        let digits = self.number.digits.max(other.number.digits);
        Some(Self { base, unit: self.unit, number: number::Number::computed(value, digits) })
    }
}

impl Unit {
    /// From a value in this unit to the base unit of its dimension; `None` where it grows too large.
    pub(crate) fn to_base(&self, value: Exact) -> Option<Exact> {
        value.checked_add(&self.offset())?.checked_mul(&self.factor())
    }

    /// From the base unit of its dimension to a value in this unit.
    pub(crate) fn value_of(&self, base: Exact) -> Option<Exact> {
        base.checked_div(&self.factor())?.checked_sub(&self.offset())
    }
}

impl PartialEq for Quantity {
    fn eq(&self, other: &Self) -> bool {
        self.dimension() == other.dimension() && self.base == other.base
    }
}

impl Eq for Quantity {}

/// Exact order within one dimension; quantities of different dimensions have none.
impl PartialOrd for Quantity {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        if self.dimension() == other.dimension() { Some(self.base.cmp(&other.base)) } else { None }
    }
}

/// The quantity as it was written, in tidy spelling.
impl fmt::Display for Quantity {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.written())
    }
}

/// The nearest floating-point number, for computing with.
pub(crate) fn float(value: Exact) -> f64 {
    *value.numer() as f64 / *value.denom() as f64
}
