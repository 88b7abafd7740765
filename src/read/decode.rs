//! From the bytes of a file to its text.

use super::fields::is_unprintable;

/// A file as text, and what is the matter with it.
#[derive(Debug, PartialEq, Eq)]
pub(super) struct Decoded {
    pub(super) text: String,
    /// Where the first trouble is, in bytes of `text`, and which.
    pub(super) trouble: Option<(usize, NotText)>,
}

/// Why a file is not plain text in UTF-8.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum NotText {
    /// Not text at all; `Decoded::text` ends before it.
    Binary,
    /// Another encoding; the letters outside ASCII are lost.
    OtherEncoding,
    /// UTF-16, which was decoded.
    Utf16,
    /// A character that no page can show.
    Character(char),
}

/// Decodes a file. A byte order mark is taken off.
pub(super) fn decode(bytes: Vec<u8>) -> Decoded {
    if let Some(text) = utf16(&bytes) {
        return Decoded { text, trouble: Some((0, NotText::Utf16)) };
    }
    match String::from_utf8(bytes) {
        Ok(text) => {
            let text = text.strip_prefix('\u{feff}').map(str::to_owned).unwrap_or(text);
            // Line ends of old systems: as many bytes as ours.
            let text = if text.contains('\n') { text } else { text.replace('\r', "\n") };
            let trouble = trouble_in(&text);
            match trouble {
                Some((at, NotText::Binary)) => Decoded { text: text.get(..at).unwrap_or("").to_owned(), trouble },
                _ => Decoded { text, trouble },
            }
        }
        Err(error) => other_encoding(error.as_bytes(), error.utf8_error().valid_up_to()),
    }
}

fn trouble_in(text: &str) -> Option<(usize, NotText)> {
    if let Some(at) = text.find('\0') {
        return Some((at, NotText::Binary));
    }
    let odd = |(_, letter): &(usize, char)| is_unprintable(*letter) || *letter == char::REPLACEMENT_CHARACTER;
    text.char_indices().find(odd).map(|(at, letter)| (at, NotText::Character(letter)))
}

/// A text with few odd bytes is read as far as it goes; more of them, or a NUL, are no text.
fn other_encoding(bytes: &[u8], valid: usize) -> Decoded {
    let lossy = String::from_utf8_lossy(bytes);
    let lost = lossy.matches(char::REPLACEMENT_CHARACTER).count();
    let marked = usize::from(lossy.starts_with('\u{feff}')) * '\u{feff}'.len_utf8();
    if bytes.contains(&0) || lost > 10 + bytes.len() / 20 {
        let start = lossy.get(marked..valid).unwrap_or("");
        let start = start.split('\0').next().unwrap_or("");
        return Decoded { text: start.to_owned(), trouble: Some((start.len(), NotText::Binary)) };
    }
    let text = lossy.get(marked..).unwrap_or("").to_owned();
    Decoded { text, trouble: Some((valid.saturating_sub(marked), NotText::OtherEncoding)) }
}

fn utf16(bytes: &[u8]) -> Option<String> {
    let (read, rest): (fn([u8; 2]) -> u16, _) = match bytes {
        [0xff, 0xfe, rest @ ..] => (u16::from_le_bytes, rest),
        [0xfe, 0xff, rest @ ..] => (u16::from_be_bytes, rest),
        _ => return None,
    };
    let pair = |pair: &[u8]| pair.first().zip(pair.get(1)).map(|(first, second)| read([*first, *second]));
    let text = String::from_utf16_lossy(&rest.chunks_exact(2).filter_map(pair).collect::<Vec<u16>>());
    (!text.contains(['\0', char::REPLACEMENT_CHARACTER])).then_some(text)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn text_is_told_from_other_encodings_and_from_no_text() {
        let trouble = |bytes: &[u8]| decode(bytes.to_vec()).trouble;
        assert_eq!(trouble("a = \"größe\"\r\n".as_bytes()), None);
        assert_eq!(decode("\u{feff}a".into()), Decoded { text: "a".into(), trouble: None });
        assert_eq!(trouble(b"a = \"gr\xf6sse\""), Some((7, NotText::OtherEncoding)));
        assert_eq!(decode(b"\xff\xfea\0=\x001\0".to_vec()).text, "a=1");
        assert_eq!(trouble(b"\xff\xfea\0=\x001\0"), Some((0, NotText::Utf16)));
        assert_eq!(trouble(b"ab\0c"), Some((2, NotText::Binary)));
        assert_eq!(trouble(b"\x89PNG\r\n\x1a\n\0\0\0"), Some((0, NotText::Binary)));
        assert_eq!(trouble(b"a\x07b"), Some((1, NotText::Character('\u{7}'))));
    }
}
