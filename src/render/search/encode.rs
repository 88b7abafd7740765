//! Numbers and word lists as printable text, safe inside a script's double-quoted string.

/// The digits: printable ASCII without the quote, the backslash and the less-than sign.
pub const DIGITS: usize = 92;
/// First digit of a number of two digits; smaller numbers are one digit.
const TWO: usize = 72;
/// First digit of a number of four digits.
const FOUR: usize = DIGITS - 1;
/// How many numbers take at most two digits.
const TWO_END: usize = TWO + (FOUR - TWO) * DIGITS;
/// The largest number that can be written.
pub const LARGEST: usize = TWO_END + DIGITS * DIGITS * DIGITS - 1;

/// The digit of `value`, which must be below [`DIGITS`]; larger ones wrap.
pub fn digit(value: usize) -> char {
    let skipped = match value % DIGITS {
        v @ 0..=1 => v,       // space and !
        v @ 2..=26 => v + 1,  // past the quote
        v @ 27..=57 => v + 2, // past the less-than sign
        v => v + 3,           // past the backslash
    };
    char::from(b' ' + skipped as u8)
}

/// The value of a digit.
pub fn value(digit: char) -> usize {
    let code = u32::from(digit) as usize;
    let skipped = [34, 60, 92].into_iter().filter(|gap| code > *gap).count();
    code.saturating_sub(32 + skipped)
}

/// How many digits a number has that begins with `first`.
pub fn number_length(first: char) -> usize {
    match value(first) {
        0..TWO => 1,
        TWO..FOUR => 2,
        _ => 4,
    }
}

/// The number that whole digits stand for, as [`push_number`] writes it.
pub fn number_of(digits: &[char]) -> usize {
    let rest = |digits: &[char]| digits.iter().fold(0, |number, digit| number * DIGITS + value(*digit));
    match digits {
        [only] => value(*only),
        [first, second] => TWO + value(*first).saturating_sub(TWO) * DIGITS + value(*second),
        [_, digits @ ..] => TWO_END + rest(digits),
        [] => 0,
    }
}

/// Appends `value` in one, two or four digits; numbers above [`LARGEST`] are written as it.
pub fn push_number(text: &mut String, value: usize) {
    if value < TWO {
        text.push(digit(value));
    } else if value < TWO_END {
        text.push(digit(TWO + (value - TWO) / DIGITS));
        text.push(digit(value - TWO));
    } else {
        let rest = value.min(LARGEST) - TWO_END;
        text.push(digit(FOUR));
        text.push(digit(rest / DIGITS / DIGITS));
        text.push(digit(rest / DIGITS));
        text.push(digit(rest));
    }
}

/// Appends a sorted list of numbers: how many, then the steps between them.
pub fn push_steps(text: &mut String, sorted: &[u32]) {
    push_number(text, sorted.len());
    let mut before = 0;
    for &value in sorted {
        push_number(text, value.saturating_sub(before) as usize);
        before = value;
    }
}

/// Appends one term's postings: for each level in use, the level and count in one number, then the steps.
pub fn push_postings(text: &mut String, postings: &[(u32, u8)]) {
    for level in 0..8u8 {
        let pages: Vec<u32> = postings.iter().filter(|(_, l)| *l == level).map(|(page, _)| *page).collect();
        if pages.is_empty() {
            continue;
        }
        push_number(text, (pages.len() - 1) * 8 + usize::from(level));
        let mut before = 0;
        for page in pages {
            push_number(text, (page - before) as usize);
            before = page;
        }
    }
}

/// Appends `word` as the number of letters (UTF-16 units) it shares with `before` and the rest of it.
pub fn push_front_coded(text: &mut String, before: &str, word: &str) {
    let shared: usize = before
        .chars()
        .zip(word.chars())
        .take_while(|(a, b)| a == b)
        .scan(0, |units, (a, _)| {
            *units += a.len_utf16();
            Some(*units)
        })
        .take_while(|units| *units < DIGITS)
        .last()
        .unwrap_or(0);
    text.push(digit(shared));
    let mut units = 0;
    for c in word.chars() {
        if units >= shared {
            text.push(c);
        }
        units += c.len_utf16();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_are_distinct_and_safe() {
        let all: std::collections::BTreeSet<char> = (0..DIGITS).map(digit).collect();
        assert_eq!(all.len(), DIGITS);
        assert!((0..DIGITS).all(|v| value(digit(v)) == v));
        assert!(all.iter().all(|c| (' '..='~').contains(c) && !['"', '\\', '<'].contains(c)));
    }

    #[test]
    fn numbers_take_the_digits_promised() {
        let length = |value| {
            let mut text = String::new();
            push_number(&mut text, value);
            text.len()
        };
        assert_eq!([71, 72, 1819, 1820, LARGEST].map(length), [1, 2, 2, 4, 4]);
    }

    #[test]
    fn a_shared_beginning_is_not_repeated() {
        let mut text = String::new();
        push_front_coded(&mut text, "canopies", "canopy");
        assert_eq!(text, format!("{}y", digit(5)));
    }
}
