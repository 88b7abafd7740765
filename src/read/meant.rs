//! Values as people write them elsewhere and TOML does not: decimal commas, dates of the day first, yes and no, a unit
//! behind a bare number.

use super::values::pointed;

/// The keys that are true or false.
const FLAGS: [&str; 3] = ["costly", "first", "sound"];

/// What is wrong with the value of a statement that could not be parsed, and what to write; nothing for other values.
pub(super) fn value(statement: &str) -> Option<(String, String)> {
    let (key, value) = statement.lines().next()?.split_once('=')?;
    let (key, value) = (key.trim(), value.split(" #").next()?.trim());
    let worded = |wrong: String, remedy: String| Some((wrong, remedy));
    if FLAGS.contains(&key)
        && matches!(value.to_ascii_lowercase().as_str(), "yes" | "on" | "no" | "off" | "true" | "false")
    {
        let meant = matches!(value.to_ascii_lowercase().as_str(), "yes" | "on" | "true");
        return worded(format!("`{value}` is not a value."), format!("Write `{key} = {meant}`, if that was meant."));
    }
    if is_number_with_comma(value) {
        let remedy = match pointed(value) {
            Some(meant) => format!("Write a decimal point: `{key} = {meant}`."),
            None => format!(
                "Write `{key} = {}`, or a decimal point in its place, whichever was meant.",
                value.replacen(',', "", 1)
            ),
        };
        return worded(format!("A comma stands in the number `{value}`."), remedy);
    }
    if is_date_of_day_first(value) {
        let remedy = format!("Write year-month-day without quotes: `{key} = 2026-05-01` is the first of May 2026.");
        return worded(format!("`{value}` is not a date as guides write it."), remedy);
    }
    let (number, unit) = value.split_once(' ')?;
    let is_unit =
        !unit.is_empty() && unit.len() < 12 && unit.chars().all(|letter| letter.is_alphabetic() || letter == ' ');
    let numeric = !number.is_empty() && number.chars().all(|letter| letter.is_ascii_digit() || letter == '.');
    if !(numeric && is_unit) {
        return None;
    }
    let remedy = match key {
        "minutes" => format!("Write the minutes alone: `{key} = {number}`."),
        _ => format!(
            "Write a number with its unit in quotes: `{key} = \"{value}\"`; a bare number without anything behind it."
        ),
    };
    worded(format!("Words stand behind the number `{number}`."), remedy)
}

fn is_number_with_comma(value: &str) -> bool {
    let digits = |text: &str| !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit());
    value.trim_start_matches('-').split_once(',').is_some_and(|(whole, rest)| digits(whole) && digits(rest))
}

fn is_date_of_day_first(value: &str) -> bool {
    ['.', '/', '-'].iter().any(|sign| {
        let parts: Vec<&str> = value.split(*sign).collect();
        let digits = parts.iter().all(|part| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit()));
        let lengths: Vec<usize> = parts.iter().map(|part| part.len()).collect();
        digits && matches!(lengths.as_slice(), [1 | 2, 1 | 2, 2 | 4] | [4, 1, _] | [4, _, 1])
            || digits && *sign != '-' && matches!(lengths.as_slice(), [4, 2, 2])
    })
}

#[cfg(test)]
mod tests {
    use super::value;

    fn remedy(statement: &str) -> String {
        value(statement).map_or(String::new(), |(_, remedy)| remedy)
    }

    #[test]
    fn what_was_meant_is_said() {
        assert_eq!(remedy("minutes = 3,5"), "Write a decimal point: `minutes = 3.5`.");
        assert_eq!(
            remedy("minutes = 1,200"),
            "Write `minutes = 1200`, or a decimal point in its place, whichever was meant."
        );
        assert_eq!(remedy("costly = Yes # really"), "Write `costly = true`, if that was meant.");
        assert_eq!(remedy("minutes = 35 about"), "Write the minutes alone: `minutes = 35`.");
        assert!(remedy("bore = 40 mm").contains("`bore = \"40 mm\"`"));
        for date in ["18.05.2026", "5/18/26", "2026/05/18", "2026-5-1"] {
            assert!(remedy(&format!("reviewed = {date}")).starts_with("Write year-month-day"), "{date}");
        }
    }

    #[test]
    fn other_values_are_left_to_the_parser() {
        for other in [
            "a = \"x\" y",
            "a = 1,2,3",
            "a = 1.2.3.4",
            "a = 2026-02-31",
            "a",
            "a =",
            "a = [1, 2",
            "a = oil",
            "need = yes",
        ] {
            assert_eq!(value(other), None, "{other}");
        }
    }
}
