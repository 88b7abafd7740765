//! What a person types into a field, as a quantity: comma or point, fractions, a unit or none.

use num_traits::{CheckedAdd, CheckedMul};

use crate::model::quantity::QuantityError as Wrong;
use crate::model::quantity::{Dimension, Exact, Quantity, Unit, squeezed, units_of};

/// Why a typed text is no value for a reading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Refusal {
    /// Nothing was typed.
    Empty,
    /// It does not begin with a number.
    NoNumber,
    /// The number cannot be read.
    BadNumber,
    /// `1,000` may be one or one thousand.
    Comma,
    /// More digits than can be kept exactly.
    TooLarge,
    /// The unit is not one of this kind of quantity.
    Unit,
    /// Below what is possible: a length below zero, a pressure below vacuum.
    Below,
    /// So far beyond every limit that number or unit must be wrong.
    Far,
}

impl Refusal {
    /// The key of its sentence, behind `typed_`; the same in the script.
    pub fn key(self) -> &'static str {
        match self {
            Self::Empty => "empty",
            Self::NoNumber => "no_number",
            Self::BadNumber => "bad_number",
            Self::Comma => "comma",
            Self::TooLarge => "too_large",
            Self::Unit => "unit",
            Self::Below => "below",
            Self::Far => "far",
        }
    }

    /// Every refusal, in the order of the checks.
    pub const ALL: [Self; 8] =
        [Self::Empty, Self::NoNumber, Self::BadNumber, Self::Comma, Self::TooLarge, Self::Unit, Self::Below, Self::Far];
}

/// Fractions that keyboards offer as one letter.
const ONE_LETTER: [(char, &str); 9] = [
    ('¼', "1/4"),
    ('½', "1/2"),
    ('¾', "3/4"),
    ('⅛', "1/8"),
    ('⅜', "3/8"),
    ('⅝', "5/8"),
    ('⅞', "7/8"),
    ('⅓', "1/3"),
    ('⅔', "2/3"),
];

/// Reads what was typed: `2,5`, `2.5 mm`, `3/8 in`, `1 1/2"`, `1-1/2 in`. Without a unit it is in `usual`.
///
/// # Errors
/// What is wrong with it, up to [`Refusal::Unit`]; whether the value can be is asked by the reading's range.
pub fn read(text: &str, usual: &'static Unit) -> Result<Quantity, Refusal> {
    let tidy = tidied(text);
    if tidy.is_empty() {
        return Err(Refusal::Empty);
    }
    let (number, rest) = number(&tidy)?;
    let unit = if rest.is_empty() { usual } else { unit(rest, usual.dimension).ok_or(Refusal::Unit)? };
    Quantity::parse(&format!("{number} {}", unit.symbol)).map_err(|wrong| match wrong {
        Wrong::TooLarge => Refusal::TooLarge,
        Wrong::BelowZero => Refusal::Below,
        _ => Refusal::BadNumber,
    })
}

/// One kind of blank, of minus and of inch mark; fractions in three letters.
fn tidied(text: &str) -> String {
    let mut tidy = String::with_capacity(text.len());
    for letter in text.trim().chars() {
        if let Some((_, fraction)) = ONE_LETTER.iter().find(|(one, _)| *one == letter) {
            if tidy.ends_with(|before: char| before.is_ascii_digit()) {
                tidy.push(' ');
            }
            tidy.push_str(fraction);
            continue;
        }
        match letter {
            '\u{2212}' | '\u{2013}' => tidy.push('-'),
            '\u{2033}' | '\u{201d}' => tidy.push('"'),
            '\u{2044}' => tidy.push('/'),
            blank if blank.is_whitespace() => {
                if !tidy.ends_with(' ') {
                    tidy.push(' ');
                }
            }
            other => tidy.push(other),
        }
    }
    tidy
}

/// The number as guides write it, and the unit behind it.
fn number(tidy: &str) -> Result<(String, &str), Refusal> {
    let (sign, rest) = match tidy.strip_prefix('-') {
        Some(rest) => ("-", rest),
        None => ("", tidy.strip_prefix('+').unwrap_or(tidy)),
    };
    let rest = rest.trim_start();
    if !rest.starts_with(|letter: char| letter.is_ascii_digit() || matches!(letter, '.' | ',')) {
        return Err(Refusal::NoNumber);
    }
    let (number, rest) = fraction(rest).map_or_else(|| decimal(rest), Ok)?;
    let rest = rest.trim_start();
    if rest.starts_with(|letter: char| letter.is_ascii_digit() || matches!(letter, '.' | ',' | '/' | '\'' | '+' | '-'))
    {
        return Err(Refusal::BadNumber);
    }
    Ok((format!("{sign}{number}"), rest))
}

fn digits(text: &str) -> (&str, &str) {
    text.split_at(text.find(|letter: char| !letter.is_ascii_digit()).unwrap_or(text.len()))
}

/// `3/8`, `1 1/2` or `1-1/2`.
fn fraction(text: &str) -> Option<(String, &str)> {
    let (first, rest) = digits(text);
    let part = |text| {
        let (above, rest) = digits(text);
        let (below, rest) = digits(rest.strip_prefix('/')?);
        (!above.is_empty() && !below.is_empty()).then(|| (format!("{above}/{below}"), rest))
    };
    if first.is_empty() {
        return None;
    }
    if let Some(whole) = part(text) {
        return Some(whole);
    }
    let (fraction, rest) = part(rest.strip_prefix([' ', '-'])?)?;
    Some((format!("{first} {fraction}"), rest))
}

fn decimal(text: &str) -> Result<(String, &str), Refusal> {
    let (whole, rest) = digits(text);
    let Some(mark) = rest.chars().next().filter(|mark| matches!(mark, '.' | ',')) else {
        return Ok((whole.to_owned(), rest));
    };
    let (places, rest) = digits(rest.get(1..).unwrap_or_default());
    if places.is_empty() {
        return Err(Refusal::BadNumber);
    }
    // Three digits behind a comma may be thousands, unless a zero stands before it.
    if mark == ',' && places.len() == 3 && (1..=3).contains(&whole.len()) && !whole.starts_with('0') {
        return Err(Refusal::Comma);
    }
    let whole = if whole.is_empty() { "0" } else { whole };
    Ok((format!("{whole}.{places}"), rest))
}

/// A unit of one dimension by its symbol or spelling; `C` is taken for `°C`.
fn unit(written: &str, dimension: Dimension) -> Option<&'static Unit> {
    let squeezed = squeezed(written);
    [squeezed.clone(), format!("°{squeezed}")].iter().find_map(|written| {
        let exact = units_of(dimension).find(|unit| unit.written().0.contains(written));
        let low = written.to_lowercase();
        exact.or_else(|| {
            units_of(dimension).find(|unit| {
                let (ways, any_case) = unit.written();
                any_case && ways.iter().any(|way| way.to_lowercase() == low)
            })
        })
    })
}

/// The range in which a value of a reading can lie at all.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Range {
    /// In base units; `None` where any value below may be.
    pub least: Option<Exact>,
    /// In base units; `None` where there is no limit to compare with.
    pub most: Option<Exact>,
}

/// How often the greatest limit a value may be before it is taken for a slip.
const FAR: i128 = 100;
/// How many kelvin a temperature may lie above the greatest limit.
const FAR_KELVIN: i128 = 500;
/// Gauge pressure of a vacuum, in pascal: one standard atmosphere below nothing.
const VACUUM: i128 = -101_325;

impl Range {
    /// The range for limits of one dimension, in base units.
    pub fn of(dimension: Dimension, edges: &[Exact]) -> Self {
        let zero = Exact::from_integer(0);
        let least = match dimension {
            Dimension::GaugePressure => Some(Exact::from_integer(VACUUM)),
            Dimension::Force
            | Dimension::Torque
            | Dimension::TemperatureDifference
            | Dimension::Voltage
            | Dimension::Current
            | Dimension::Power
            | Dimension::Angle => None,
            _ => Some(zero),
        };
        let least = least.filter(|least| edges.iter().all(|edge| edge >= least));
        let size = |edge: &Exact| if *edge < zero { -*edge } else { *edge };
        let greatest = edges.iter().map(size).max().filter(|greatest| *greatest > zero);
        let most = greatest.and_then(|greatest| match dimension {
            Dimension::Temperature => greatest.checked_add(&Exact::from_integer(FAR_KELVIN)),
            _ => greatest.checked_mul(&Exact::from_integer(FAR)),
        });
        Self { least, most }
    }

    /// Whether a value can be.
    ///
    /// # Errors
    /// [`Refusal::Below`] or [`Refusal::Far`].
    pub fn holds(&self, value: Exact) -> Result<(), Refusal> {
        let size = if value < Exact::from_integer(0) { -value } else { value };
        if self.least.is_some_and(|least| value < least) {
            return Err(Refusal::Below);
        }
        if self.most.is_some_and(|most| size > most) { Err(Refusal::Far) } else { Ok(()) }
    }
}
