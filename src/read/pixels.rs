//! Looking at pictures of pixels: whether a file is of the format that its name says, and whole.
//!
//! How a file of each format ends: PNG (ISO/IEC 15948) in a chunk `IEND`, JPEG (ITU-T T.81) in the marker `EOI`, GIF 89a
//! in the byte 3B, WebP (RFC 9649) after as many bytes as its head says. All from memory.

use imagesize::ImageType;

use crate::report::Finding;
use crate::text::{FileId, Span};

/// Programs may leave something behind the end of a picture, but not much.
const TAIL: usize = 4096;

/// What is wrong with a picture of a known format; nothing for other files.
pub(super) fn trouble(path: &str, bytes: &[u8]) -> Option<(String, &'static str)> {
    let ending = path.rsplit_once('.')?.1.to_ascii_lowercase();
    let wanted = match ending.as_str() {
        "png" => "PNG",
        "jpg" | "jpeg" => "JPEG",
        "gif" => "GIF",
        "webp" => "WebP",
        _ => return None,
    };
    let (found, whole) = match imagesize::image_type(bytes) {
        Ok(ImageType::Png) => ("PNG", ends_with(bytes, b"IEND")),
        Ok(ImageType::Jpeg) => ("JPEG", ends_with(bytes, &[0xff, 0xd9])),
        Ok(ImageType::Gif) => ("GIF", ends_with(bytes, &[0x3b])),
        Ok(ImageType::Webp) => ("WebP", is_whole_webp(bytes)),
        _ if bytes.is_empty() => return Some(("The picture is empty.".to_owned(), AGAIN)),
        _ => return Some((format!("This file is called a picture, but it is no {wanted}."), AGAIN)),
    };
    if found != wanted {
        return Some((format!("The name says {wanted}, but the picture is saved as {found}."), RENAME));
    }
    if !whole {
        return Some(("The picture breaks off before its end.".to_owned(), AGAIN));
    }
    imagesize::blob_size(bytes).is_err().then(|| ("The picture does not say how large it is.".to_owned(), AGAIN))
}

const AGAIN: &str = "Copy the picture again from where it came, or save it again.";
const RENAME: &str = "Save it in the format of its name, or correct the ending here and where the picture is named.";

pub(super) fn finding(file: FileId, (wrong, remedy): (String, &'static str)) -> Finding {
    Finding::new("picture-not-readable", Span::start_of(file), wrong, remedy)
}

fn ends_with(bytes: &[u8], mark: &[u8]) -> bool {
    let tail = bytes.get(bytes.len().saturating_sub(TAIL)..).unwrap_or(bytes);
    tail.windows(mark.len()).any(|window| window == mark)
}

fn is_whole_webp(bytes: &[u8]) -> bool {
    let length = bytes.get(4..8).and_then(|length| length.try_into().ok()).map(u32::from_le_bytes);
    length.is_some_and(|length| bytes.len() as u64 >= u64::from(length) + 8)
}

#[cfg(test)]
mod tests {
    use super::trouble;

    fn says(path: &str, bytes: &[u8]) -> String {
        trouble(path, bytes).map_or(String::new(), |(wrong, _)| wrong)
    }

    /// One grey pixel.
    const PNG: &[u8] = b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR\0\0\0\x01\0\0\0\x01\x08\0\0\0\0\x3a\x7e\x9b\x55\
        \0\0\0\x0aIDATx\x9cc\x60\0\0\0\x02\0\x01\x48\xaf\xa4\x71\0\0\0\0IEND\xae\x42\x60\x82";

    #[test]
    fn a_whole_picture_is_silent_and_others_are_told() {
        assert_eq!(says("media/a.png", PNG), "");
        assert_eq!(says("media/a.PNG", PNG), "");
        assert_eq!(says("media/a.toml", b"x"), "");
        assert_eq!(says("media/a.png", &PNG[..40]), "The picture breaks off before its end.");
        assert_eq!(says("media/a.png", b""), "The picture is empty.");
        assert_eq!(says("media/a.png", b"hello"), "This file is called a picture, but it is no PNG.");
        assert_eq!(says("media/a.jpg", PNG), "The name says JPEG, but the picture is saved as PNG.");
        assert_eq!(says("media/a.webp", b"RIFF\xff\0\0\0WEBPVP8 "), "The picture breaks off before its end.");
        assert_eq!(says("media/a.gif", b"GIF89a\x01\0\x01\0\0\0\0"), "The picture breaks off before its end.");
        assert_eq!(says("media/a.gif", b"GIF89a\x01\0\x01\0\0\0\0\x3b"), "");
    }
}
