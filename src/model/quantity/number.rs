//! The number of a quantity, as written and as an exact value.

use num_traits::{CheckedAdd, CheckedMul};

use super::{Exact, QuantityError};

/// A number as written.
#[derive(Debug, Clone)]
pub(super) struct Number {
    pub(super) value: Exact,
    /// As it is printed.
    pub(super) written: String,
    /// How many digits of it count.
    pub(super) digits: usize,
    /// How many of them stand behind the point.
    pub(super) places: i32,
}

/// More digits than this cannot be kept exactly through every factor.
const MOST_DIGITS: usize = 15;

/// A fraction's parts are shorter, so that what it comes to can still be shown in full.
const MOST_IN_FRACTION: usize = 9;

/// Splits a text behind its number.
pub(super) fn split(text: &str) -> (&str, &str) {
    let numeric = |letter: char| letter.is_ascii_digit() || matches!(letter, '.' | ',' | '/' | '+' | '-' | '−' | '\'');
    let end = text.find(|letter: char| !numeric(letter)).unwrap_or(text.len());
    // "1 1/2 in": a whole number and a fraction.
    if let Some(rest) = text.get(end..).and_then(|rest| rest.strip_prefix(' ')) {
        let fraction = rest.find(|letter: char| !letter.is_ascii_digit() && letter != '/').unwrap_or(rest.len());
        if rest.get(..fraction).is_some_and(|fraction| fraction.contains('/') && !fraction.starts_with('/')) {
            return text.split_at(end + 1 + fraction);
        }
    }
    let (number, rest) = text.split_at(end);
    if number.bytes().any(|byte| byte.is_ascii_digit()) { (number, rest) } else { ("", text) }
}

impl Number {
    /// Reads digits with a decimal point, a fraction, or a whole number and a fraction.
    pub(super) fn parse(text: &str) -> Result<Self, QuantityError> {
        let bad = || QuantityError::BadNumber(text.chars().take(40).collect());
        let plain = text.replace('−', "-");
        let (negative, digits) = match plain.strip_prefix('-') {
            Some(rest) => (true, rest),
            None => (false, plain.strip_prefix('+').unwrap_or(&plain)),
        };
        let value = match digits.rsplit_once(' ') {
            Some((whole, fraction)) => {
                let (whole, fraction) = (decimal(whole, bad)?, ratio(fraction, bad)?);
                whole.checked_add(&fraction).ok_or(QuantityError::TooLarge)?
            }
            None if digits.contains('/') => ratio(digits, bad)?,
            None => decimal(digits, bad)?,
        };
        let value = if negative { -value } else { value };
        let written = if negative { format!("-{digits}") } else { digits.to_owned() };
        Ok(Self { value, digits: significant(digits), places: places(digits), written })
    }

    /// A number that was worked out.
    pub(super) fn computed(value: Exact, digits: usize) -> Self {
        let written = super::shown::rounded(value, digits.max(2) + 1);
        Self { value, digits, places: places(&written), written }
    }
}

fn decimal(text: &str, bad: impl Fn() -> QuantityError) -> Result<Exact, QuantityError> {
    let (whole, fraction) = text.split_once('.').unwrap_or((text, ""));
    let all_digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if whole.is_empty() || !all_digits(whole) || !all_digits(fraction) || text.ends_with('.') {
        return Err(bad());
    }
    if whole.len() + fraction.len() > MOST_DIGITS {
        return Err(QuantityError::TooLarge);
    }
    let digits: i128 = format!("{whole}{fraction}").parse().map_err(|_| bad())?;
    let scale = u32::try_from(fraction.len()).ok().and_then(|places| 10_i128.checked_pow(places));
    Ok(Exact::new(digits, scale.ok_or(QuantityError::TooLarge)?))
}

fn ratio(text: &str, bad: impl Fn() -> QuantityError) -> Result<Exact, QuantityError> {
    let (above, below) = text.split_once('/').ok_or_else(&bad)?;
    if above.len().max(below.len()) > MOST_IN_FRACTION {
        return Err(QuantityError::TooLarge);
    }
    let (above, below) = (decimal(above, &bad)?, decimal(below, &bad)?);
    if below == Exact::from_integer(0) {
        return Err(bad());
    }
    above.checked_mul(&below.recip()).ok_or(QuantityError::TooLarge)
}

/// The places behind the point; a fraction is held to be good to the tenth of its unit.
fn places(text: &str) -> i32 {
    if text.contains('/') {
        return 1;
    }
    text.split_once('.').map_or(0, |(_, fraction)| i32::try_from(fraction.len()).unwrap_or(0))
}

/// How many digits count: leading zeros do not, trailing zeros do. A fraction counts three.
fn significant(text: &str) -> usize {
    if text.contains('/') {
        return 3;
    }
    let digits: String = text.chars().filter(char::is_ascii_digit).collect();
    digits.trim_start_matches('0').len().max(1)
}
