//! Decimal numbers taken at their word: 0.1 is one tenth.

/// `digits` times ten to the power `exponent`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Decimal {
    digits: u128,
    exponent: i32,
}

impl Decimal {
    pub const ONE: Self = Self { digits: 1, exponent: 0 };

    /// Reads a number as JSON writes it; `None` when negative or beyond 38 digits.
    pub fn parse(text: &str) -> Option<Self> {
        let (mantissa, exponent) = match text.split_once(['e', 'E']) {
            Some((mantissa, exponent)) => (mantissa, exponent.parse::<i32>().ok()?),
            None => (text, 0),
        };
        let (whole, part) = mantissa.split_once('.').unwrap_or((mantissa, ""));
        let digits: u128 = format!("{whole}{part}").parse().ok()?;
        let exponent = exponent.checked_sub(i32::try_from(part.len()).ok()?)?;
        Some(Self { digits, exponent }.trimmed())
    }

    fn trimmed(mut self) -> Self {
        if self.digits == 0 {
            return Self { digits: 0, exponent: 0 };
        }
        while self.digits.is_multiple_of(10) {
            self.digits /= 10;
            self.exponent = self.exponent.saturating_add(1);
        }
        self
    }
}

/// The same numbers as whole multiples of one unit, and how many of that unit make 1.
pub(super) fn common(numbers: &[Decimal]) -> Option<(Vec<u128>, u128)> {
    let least = numbers.iter().map(|number| number.exponent).min().unwrap_or(0).min(0);
    let power = |exponent: i32| 10_u128.checked_pow(u32::try_from(exponent).ok()?);
    let whole = numbers.iter().map(|number| number.digits.checked_mul(power(number.exponent.checked_sub(least)?)?));
    Some((whole.collect::<Option<Vec<u128>>>()?, power(least.checked_neg()?)?))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn decimals_meet_on_one_unit() {
        let numbers: Vec<Decimal> = ["0.1", "2", "1e-3", "1.50E1"].map(|text| Decimal::parse(text).unwrap()).to_vec();
        assert_eq!(common(&numbers), Some((vec![100, 2_000, 1, 15_000], 1_000)));
        assert_eq!(Decimal::parse("-1"), None);
        assert_eq!(common(&[Decimal::parse("1e-40").unwrap()]), None);
    }
}
