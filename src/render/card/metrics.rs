//! How wide letters of the card's own type are: a cut-down Liberation Sans, read from the file that the theme ships.

use std::sync::LazyLock;

use ttf_parser::Face;

/// A thousandth of a point of 1/72 inch.
pub(super) type Length = u64;

/// Parts of an em in which a letter that the type lacks is counted: another type steps in, and none is wider.
const UNKNOWN: u64 = 2048;
const EM: u64 = 2048;

struct Type {
    regular: Face<'static>,
    bold: Face<'static>,
}

static TYPE: LazyLock<Option<Type>> = LazyLock::new(|| {
    Some(Type {
        regular: Face::parse(include_bytes!("../../../themes/font/card-regular.ttf"), 0).ok()?,
        bold: Face::parse(include_bytes!("../../../themes/font/card-bold.ttf"), 0).ok()?,
    })
});

/// The width of `text` on one line, without kerning, as the card's style asks for it.
pub(super) fn width(text: &str, bold: bool, size: Length) -> Length {
    let em: u64 = text.chars().map(|letter| advance(letter, bold)).sum();
    em.saturating_mul(size).div_ceil(EM)
}

fn advance(letter: char, bold: bool) -> u64 {
    let known = TYPE.as_ref().and_then(|faces| {
        let face = if bold { &faces.bold } else { &faces.regular };
        face.glyph_index(letter).and_then(|glyph| face.glyph_hor_advance(glyph))
    });
    known.map_or(UNKNOWN, u64::from)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Widths of Liberation Sans, the same as Arial's: a figure 1139, W 1933, W bold 1933, i 455 parts of 2048
    /// (from memory of the two types' metrics files).
    #[test]
    fn letters_have_the_widths_of_the_type() {
        let wide = |text: &str, bold: bool| width(text, bold, 2048);
        assert_eq!((wide("0", false), wide("W", false), wide("i", false)), (1139, 1933, 455));
        assert_eq!(wide("W", true), 1933);
        assert_eq!(wide("字", false), UNKNOWN);
        assert_eq!(width("00", false, 9000), 10011);
    }
}
