//! One spelling for every way of typing a text: compatibility forms, case, accents and dashes folded.

use unicode_normalization::UnicodeNormalization;
use unicode_normalization::char::is_combining_mark;

/// Folds `text` to the spelling that both the index and the query use.
///
/// Compatibility decomposition, lower case, accents of the general block (U+0300 to U+036F) dropped, composed again
/// (NFKC, Unicode Standard Annex 15). Typographic dashes and apostrophes become the plain ones, the multiplication sign
/// an `x`, and a vulgar fraction is kept apart from the digit before it (`1¾` is `1 3/4`).
pub fn fold(text: &str) -> String {
    let spaced = text.chars().flat_map(|c| is_fraction(c).then_some(' ').into_iter().chain([c]));
    let mut folded = String::with_capacity(text.len());
    for c in spaced.nfkd() {
        for lower in c.to_lowercase() {
            push_plain(&mut folded, lower);
        }
    }
    folded.nfkc().collect()
}

fn is_fraction(c: char) -> bool {
    matches!(c, '\u{bc}'..='\u{be}' | '\u{2150}'..='\u{215f}' | '\u{2189}')
}

fn push_plain(folded: &mut String, c: char) {
    match c {
        '\u{300}'..='\u{36f}' | '\u{ad}' | '\u{200b}'..='\u{200d}' | '\u{2060}' | '\u{feff}' => {}
        '\u{2010}'..='\u{2015}' | '\u{2212}' => folded.push('-'),
        '\u{2018}' | '\u{2019}' | '\u{2bc}' => folded.push('\''),
        '\u{2044}' | '\u{2215}' => folded.push('/'),
        '\u{d7}' => folded.push('x'),
        'ς' => folded.push('σ'),
        'ı' => folded.push('i'),
        'ß' => folded.push_str("ss"),
        other => folded.push(other),
    }
}

/// Whether `c` belongs to a word in any script: a letter, a digit or a mark that sits on one.
pub fn in_word(c: char) -> bool {
    c.is_alphanumeric() || is_combining_mark(c)
}

/// Whether words of the script of `c` stand without spaces, so that pairs of characters are indexed instead.
pub fn unspaced(c: char) -> bool {
    matches!(c,
        '\u{e00}'..='\u{eff}'
        | '\u{1000}'..='\u{109f}'
        | '\u{1780}'..='\u{17ff}'
        | '\u{3040}'..='\u{30ff}'
        | '\u{31f0}'..='\u{31ff}'
        | '\u{3400}'..='\u{4dbf}'
        | '\u{4e00}'..='\u{9fff}'
        | '\u{f900}'..='\u{faff}'
        | '\u{20000}'..='\u{3ffff}')
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_way_of_typing_folds_to_one() {
        assert_eq!(fold("Ｐ‑１２ Überdruck"), "p-12 uberdruck");
        assert_eq!(fold("1¾ in, M8×1.25"), "1 3/4 in, m8x1.25");
        assert_eq!(fold("ΟΔΟΣ don’t 5 µm"), "οδοσ don't 5 μm");
        assert_eq!(fold("한국어"), "한국어");
    }
}
