//! Colours of depicted things: a red hose is drawn red. Dash patterns tell them apart without colour.

use super::views::hoses::Colour;

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

/// Dash patterns, one a line of a table.
const DASHES: [&str; 8] = ["", "24 8", "8 8", "24 6 6 6", "4 6", "16 4 4 4 4 4", "36 12", "2 10"];

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

/// How a hose is drawn: in its own colour, with the dash pattern of its place in the table.
pub(super) fn of_hose(name: &str, index: usize) -> Colour {
    let lower = name.to_lowercase();
    // "grey with a yellow band": the first colour word is the hose's own.
    let found = PAINTS.iter().filter_map(|paint| Some((lower.find(paint.0)?, paint))).min_by_key(|(at, _)| *at);
    let (fill, dash_fill) = found.map_or(("#b8bcc0", "#1c1c1c"), |(_, (_, fill, dash))| (*fill, *dash));
    let dash = DASHES.get(index % DASHES.len()).copied().unwrap_or("");
    Colour { name: name.to_owned(), fill: fill.to_owned(), dash_fill: dash_fill.to_owned(), dash: dash.to_owned() }
}

/// A colour code such as `BN/WH` or `BNWH` in words; empty where it is none.
pub(super) fn of_code(code: &str) -> String {
    let letters: String = code.chars().filter(char::is_ascii_alphabetic).collect::<String>().to_uppercase();
    let pairs = letters.as_bytes().chunks(2).filter_map(|pair| std::str::from_utf8(pair).ok());
    let word = |pair: &str| CODES.iter().find(|(known, _)| *known == pair).map(|(_, word)| *word);
    let words: Option<Vec<&str>> = pairs.map(word).collect();
    words.map(|words| words.join(" and ")).unwrap_or_default()
}
