//! Colours of depicted things: a red hose is drawn red.

/// Plain colour words with an SVG paint and one that stands out from it.
const PAINTS: [(&str, &str, &str); 14] = [
    ("black", "#1c1c1c", "#ffffff"),
    ("white", "#ffffff", "#1c1c1c"),
    ("grey", "#80858a", "#ffffff"),
    ("gray", "#80858a", "#ffffff"),
    ("blue", "#1f5fbf", "#ffffff"),
    ("green", "#1f7a3d", "#ffffff"),
    ("yellow", "#e6c619", "#1c1c1c"),
    ("red", "#b3261e", "#ffffff"),
    ("orange", "#d9761a", "#1c1c1c"),
    ("brown", "#6b4423", "#ffffff"),
    ("violet", "#6a3fa0", "#ffffff"),
    ("purple", "#6a3fa0", "#ffffff"),
    ("pink", "#e08aa8", "#1c1c1c"),
    ("turquoise", "#1a9a98", "#ffffff"),
];

/// Colours of conductors after IEC 60757 (from memory).
const CODES: [(&str, &str); 14] = [
    ("BK", "black"),
    ("BN", "brown"),
    ("RD", "red"),
    ("OG", "orange"),
    ("YE", "yellow"),
    ("GN", "green"),
    ("BU", "blue"),
    ("VT", "violet"),
    ("GY", "grey"),
    ("WH", "white"),
    ("PK", "pink"),
    ("TQ", "turquoise"),
    ("GD", "gold"),
    ("SR", "silver"),
];

/// The paint of a thing in plain colour words, and one that stands out from it.
pub(super) fn paint(name: &str) -> (String, String) {
    let lower = name.to_lowercase();
    // "grey with a yellow ring": the first colour word is the thing's own.
    let found = PAINTS.iter().filter_map(|paint| Some((lower.find(paint.0)?, paint))).min_by_key(|(at, _)| *at);
    let (fill, over) = found.map_or(("#b8bcc0", "#1c1c1c"), |(_, (_, fill, over))| (*fill, *over));
    (fill.to_owned(), over.to_owned())
}

/// The rings or bands that a thing has by its words ("pink with two white rings"), and their paint.
pub(super) fn rings(name: &str) -> (u32, String) {
    let lower = name.to_lowercase();
    let words: Vec<&str> = lower.split(|letter: char| !letter.is_ascii_alphanumeric()).collect();
    let named = |word: &str| matches!(word.trim_end_matches('s'), "ring" | "band");
    let Some(at) = words.iter().position(|word| named(word)) else { return (0, String::new()) };
    let before = words.get(..at).unwrap_or_default();
    let colour = before.last().map(|word| paint(word).0).unwrap_or_default();
    let count =
        before.iter().rev().find_map(|word| COUNTS.iter().find(|(known, _)| known == word)).map_or(1, |it| it.1);
    (count, colour)
}

/// Words that count rings.
const COUNTS: [(&str, u32); 11] = [
    ("a", 1),
    ("one", 1),
    ("two", 2),
    ("three", 3),
    ("four", 4),
    ("five", 5),
    ("1", 1),
    ("2", 2),
    ("3", 3),
    ("4", 4),
    ("5", 5),
];

/// A colour code such as `BN/WH` or `BNWH` in words; empty where it is none.
pub(super) fn of_code(code: &str) -> String {
    let letters: String = code.chars().filter(char::is_ascii_alphabetic).collect::<String>().to_uppercase();
    let pairs = letters.as_bytes().chunks(2).filter_map(|pair| std::str::from_utf8(pair).ok());
    let word = |pair: &str| CODES.iter().find(|(known, _)| *known == pair).map(|(_, word)| *word);
    let words: Option<Vec<&str>> = pairs.map(word).collect();
    words.map(|words| words.join(" and ")).unwrap_or_default()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn rings_are_counted_and_the_first_colour_is_the_hose_s_own() {
        assert_eq!(rings("pink with two white rings"), (2, "#ffffff".to_owned()));
        assert_eq!(rings("grey with a yellow band"), (1, "#e6c619".to_owned()));
        assert_eq!(rings("clear, no sleeve"), (0, String::new()));
        assert_eq!(paint("grey with a yellow band").0, "#80858a");
    }
}
