//! Today's date, or the one that a reproducible build asks for.
//!
//! `SOURCE_DATE_EPOCH` is defined by the reproducible-builds specification of that name (written from memory): whole
//! seconds since 1970-01-01T00:00:00Z in decimal ASCII.

use jiff::{Timestamp, civil::Date, tz::TimeZone};

use super::DayTrouble;

/// The date in UTC at `epoch` (the text of the variable) or, without it, at `now`.
pub(super) fn day(epoch: Option<&str>, now: Timestamp) -> Result<Date, DayTrouble> {
    let moment = match epoch {
        None => now,
        Some(text) => parse(text).ok_or_else(|| DayTrouble { value: text.to_owned() })?,
    };
    Ok(moment.to_zoned(TimeZone::UTC).date())
}

fn parse(text: &str) -> Option<Timestamp> {
    let digits = !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    let seconds = digits.then(|| text.parse().ok())??;
    Timestamp::from_second(seconds).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn the_variable_wins_over_the_clock() {
        let now = Timestamp::from_second(0).unwrap();
        assert_eq!(day(None, now), Ok(date(1970, 1, 1)));
        // 2001-09-09T01:46:40Z is the well-known moment of the billionth second.
        assert_eq!(day(Some("1000000000"), now), Ok(date(2001, 9, 9)));
    }

    #[test]
    fn a_wrong_variable_is_told_and_not_ignored() {
        for text in ["", "soon", "-1", "+5", "1e9", " 1", "99999999999999999999", "9223372036854775807"] {
            assert_eq!(day(Some(text), Timestamp::UNIX_EPOCH), Err(DayTrouble { value: text.to_owned() }), "{text:?}");
        }
    }
}
