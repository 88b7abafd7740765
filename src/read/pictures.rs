//! Looking into SVG pictures: they are markup, which may be broken, and may run or load something.
//!
//! What can act is taken from SVG 1.1, "Scripting" and "Linking", and SVG 2, "Linking" (from memory): `script`, event
//! attributes, `href` in any namespace, `url()` in style and in presentation attributes, embedded foreign markup.

use std::ops::Range;

use imagesize::ImageType;
use roxmltree::{Document, Node, ParsingOptions};

use crate::report::Finding;
use crate::text::{FileId, Span};

/// Elements and attributes of one picture; a drawing with more is no picture for a phone.
const MOST_NODES: u32 = 500_000;

const SVG: &str = "http://www.w3.org/2000/svg";

/// Elements that run or embed something.
const ACTING: [&str; 8] = ["script", "handler", "listener", "foreignobject", "iframe", "embed", "object", "audio"];

/// What is wrong with an SVG picture: at most one finding, the first.
pub(super) fn svg(bytes: &[u8]) -> Option<Trouble> {
    if let Some(other) = another_format(bytes) {
        let wrong = format!("The name says SVG, but this file is {other}.");
        let remedy = "Give it the ending of its format, here and where the picture is named, or save it as plain SVG.";
        return Some(Trouble { rule: "picture-not-readable", at: 0..0, wrong, remedy });
    }
    let Ok(text) = std::str::from_utf8(bytes) else {
        return Some(unreadable(0..0, "It is not text in UTF-8.".to_owned()));
    };
    let text = without_mark(text);
    let document = match parsed(text) {
        Ok(document) => document,
        Err(error) => return Some(unreadable(place(text, error.pos()), format!("It breaks off as XML: {error}."))),
    };
    let root = document.root_element();
    if root.tag_name().name() != "svg" || root.tag_name().namespace() != Some(SVG) {
        let wrong =
            format!("Its outermost element is `{}`, not an `svg` with xmlns=\"{SVG}\".", root.tag_name().name());
        return Some(unreadable(root.range().start..root.range().start, wrong));
    }
    document.descendants().find_map(|node| acts(&node).map(|what| acting(&node, &what)))
}

/// What a file is that begins like something else; the first bytes of what no page shows are from memory of its format.
fn another_format(bytes: &[u8]) -> Option<&'static str> {
    match imagesize::image_type(bytes) {
        Ok(ImageType::Png) => return Some("a PNG picture (.png)"),
        Ok(ImageType::Jpeg) => return Some("a JPEG picture (.jpg)"),
        Ok(ImageType::Gif) => return Some("a GIF picture (.gif)"),
        Ok(ImageType::Webp) => return Some("a WebP picture (.webp)"),
        _ => {}
    }
    let begins: [(&[u8], &str); 6] = [
        (b"BM", "a bitmap (BMP), which no page shows"),
        (b"II*\0", "a TIFF picture, which no page shows"),
        (b"MM\0*", "a TIFF picture, which no page shows"),
        (b"%PDF", "a PDF document, which is no picture"),
        (b"\x1f\x8b", "compressed (SVGZ), which no browser opens from a folder"),
        (b"PK\x03\x04", "a ZIP archive or an office document, which is no picture"),
    ];
    begins.into_iter().find(|(begin, _)| bytes.starts_with(begin)).map(|(_, is)| is)
}

/// A text without the byte order mark that may begin it.
fn without_mark(text: &str) -> &str {
    text.strip_prefix('\u{feff}').unwrap_or(text)
}

fn parsed(text: &str) -> Result<Document<'_>, roxmltree::Error> {
    let options = ParsingOptions { allow_dtd: true, nodes_limit: MOST_NODES, ..ParsingOptions::default() };
    Document::parse_with_options(text, options)
}

/// Width and height of an SVG picture in pixels: as it says itself, else those of its `viewBox` (SVG 2, "Coordinate
/// systems", from memory). Nothing where it says neither, or in a unit other than `px`.
pub(super) fn svg_size(bytes: &[u8]) -> Option<(u32, u32)> {
    let document = parsed(without_mark(std::str::from_utf8(bytes).ok()?)).ok()?;
    let root = document.root_element();
    let said = |name: &str| pixels(root.attribute(name)?.trim().trim_end_matches("px"));
    let view = root.attribute("viewBox").unwrap_or_default().split([' ', ',', '\t', '\n', '\r']);
    let mut view = view.filter(|word| !word.is_empty()).skip(2).map(pixels);
    said("width").zip(said("height")).or_else(|| view.next()?.zip(view.next()?))
}

/// A length as whole pixels, at least one and no more than any screen or sheet has.
fn pixels(length: &str) -> Option<u32> {
    let length: f64 = length.parse().ok()?;
    (1.0..=f64::from(u16::MAX)).contains(&length).then(|| length.round() as u32)
}

/// What is wrong, and where in the text.
pub(super) struct Trouble {
    rule: &'static str,
    at: Range<usize>,
    wrong: String,
    remedy: &'static str,
}

impl Trouble {
    /// The finding in a file that holds the text of the picture.
    pub(super) fn finding(self, file: FileId) -> Finding {
        Finding::new(self.rule, Span::new(file, self.at), self.wrong, self.remedy)
    }
}

fn unreadable(at: Range<usize>, wrong: String) -> Trouble {
    let remedy = "Save the picture again as plain SVG in UTF-8.";
    let wrong = format!("No browser will show this picture. {wrong}");
    Trouble { rule: "picture-not-readable", at, wrong, remedy }
}

fn acting(node: &Node<'_, '_>, what: &str) -> Trouble {
    let remedy = "Save it as plain SVG, without scripts, links and foreign markup; embed pictures in it as data.";
    let wrong = format!("The picture holds {what}, which could run or load something.");
    let start = node.range().start;
    Trouble { rule: "picture-with-script", at: start..start, wrong, remedy }
}

/// What of an element or an instruction could run or load something.
fn acts(node: &Node<'_, '_>) -> Option<String> {
    if let Some(instruction) = node.pi() {
        return (instruction.target == "xml-stylesheet").then(|| "the instruction `xml-stylesheet`".to_owned());
    }
    let name = node.tag_name().name();
    if ACTING.contains(&name.to_ascii_lowercase().as_str()) {
        return Some(format!("a `{name}`"));
    }
    let css = node.text().filter(|text| name == "style" && loads(text));
    if css.is_some() {
        return Some("a style that loads something".to_owned());
    }
    node.attributes().find_map(|attribute| attribute_acts(attribute.name(), attribute.value()))
}

fn attribute_acts(name: &str, value: &str) -> Option<String> {
    let (low, target) = (name.to_ascii_lowercase(), value.trim().to_ascii_lowercase());
    let within = target.starts_with('#') || target.starts_with("data:image/") && !target.starts_with("data:image/svg");
    let animates = low == "attributename" && (target.ends_with("href") || target.starts_with("on"));
    let outside = matches!(low.as_str(), "href" | "src") && !target.is_empty() && !within;
    let acts = low.starts_with("on") || animates || outside || loads(&target);
    acts.then(|| format!("`{name}=\"{}\"`", super::links::shortened(value)))
}

/// True for CSS that fetches something from outside the picture.
fn loads(css: &str) -> bool {
    let css = css.to_ascii_lowercase();
    let outside = |rest: &str| {
        let target = rest.trim_start().trim_start_matches(['"', '\'']);
        !target.starts_with('#') && !target.starts_with("data:image/")
    };
    css.contains("@import") || css.contains("javascript:") || css.split("url(").skip(1).any(outside)
}

/// The byte of a row and column, both counted from 1, the column in characters.
fn place(text: &str, at: roxmltree::TextPos) -> Range<usize> {
    let row = usize::try_from(at.row).unwrap_or(1).saturating_sub(1);
    let column = usize::try_from(at.col).unwrap_or(1).saturating_sub(1);
    let before: usize = text.split_inclusive('\n').take(row).map(str::len).sum();
    let line = text.get(before..).unwrap_or("");
    let start = before + line.char_indices().nth(column).map_or(0, |(at, _)| at);
    start..start
}

#[cfg(test)]
mod tests {
    use super::*;

    fn rule(inside: &str) -> Option<&'static str> {
        let text = format!("<svg xmlns=\"{SVG}\" xmlns:xlink=\"http://www.w3.org/1999/xlink\">{inside}</svg>");
        svg(text.as_bytes()).map(|trouble| trouble.rule)
    }

    #[test]
    fn plain_pictures_pass() {
        for inside in [
            "<title>Lamp</title><path d=\"M0 0\" style=\"fill:#fff\"/>",
            "<defs><linearGradient id=\"a\"/></defs><rect fill=\"url(#a)\"/><use xlink:href=\"#a\"/>",
            "<image href=\"data:image/png;base64,AAAA\"/>",
            "<style>.a { fill: red }</style><metadata><x xmlns=\"urn:x\"/></metadata>",
        ] {
            assert_eq!(rule(inside), None, "{inside}");
        }
        assert!(svg(b"<?xml version=\"1.0\"?><!DOCTYPE svg><svg xmlns=\"http://www.w3.org/2000/svg\"/>").is_none());
    }

    #[test]
    fn a_size_is_said_or_is_that_of_the_view() {
        let size = |says: &str| svg_size(format!("<svg xmlns=\"{SVG}\" {says}/>").as_bytes());
        assert_eq!(size("viewBox=\"0 0 640 360\""), Some((640, 360)));
        assert_eq!(size("viewBox=\"-10,-10, 99.6 50\" width=\"100%\" height=\"2in\""), Some((100, 50)));
        assert_eq!(size("viewBox=\"0 0 640 360\" width=\"320px\" height=\"180\""), Some((320, 180)));
        for says in ["", "viewBox=\"0 0 640\"", "viewBox=\"0 0 0 NaN\"", "width=\"1e9\" height=\"-4\""] {
            assert_eq!(size(says), None, "{says}");
        }
        assert_eq!(svg_size(b"\xff"), None);
    }

    #[test]
    fn what_acts_or_loads_is_refused() {
        for inside in [
            "<script/>",
            "<g onload=\"x\"/>",
            "<a href=\"javascript:x\"/>",
            "<a xlink:href=\"https://example.org\"/>",
            "<image href=\"other.png\"/>",
            "<image href=\"data:image/svg+xml;base64,AAAA\"/>",
            "<foreignObject/>",
            "<set attributeName=\"xlink:href\" to=\"x\"/>",
            "<rect style=\"fill:url(http://example.org/x)\"/>",
            "<style>@import 'x'</style>",
        ] {
            assert_eq!(rule(inside), Some("picture-with-script"), "{inside}");
        }
    }

    #[test]
    fn broken_pictures_are_told_with_their_place() {
        let text = "<svg xmlns=\"http://www.w3.org/2000/svg\">\n <g>\n</svg>";
        let trouble = svg(text.as_bytes()).unwrap();
        assert_eq!((trouble.rule, text[..trouble.at.start].matches('\n').count()), ("picture-not-readable", 2));
        assert_eq!(rule("<g>"), Some("picture-not-readable"));
        for text in ["<svg/>", "<html/>", "", "\u{fffd}", "{}"] {
            assert_eq!(svg(text.as_bytes()).map(|it| it.rule), Some("picture-not-readable"), "{text}");
        }
        assert!(svg(b"\xff<svg/>").is_some());
        let told = svg(b"\x89PNG\r\n\x1a\n\0\0\0\rIHDR").unwrap();
        assert_eq!(told.wrong, "The name says SVG, but this file is a PNG picture (.png).");
        for (bytes, is) in [
            (&b"RIFF\x04\0\0\0WEBPVP8 "[..], "WebP"),
            (b"RIFF\x04\0\0\0WAVEfmt ", ""),
            (b"II*\0\x08\0\0\0\0\0\0\0", "TIFF"),
            (b"\x1f\x8b\x08\0", "SVGZ"),
        ] {
            let told = another_format(bytes).unwrap_or_default();
            assert!(told.contains(is) && told.is_empty() == is.is_empty(), "{told}");
        }
    }

    #[test]
    fn deep_and_large_pictures_are_judged_too() {
        let deep = "<g>".repeat(50_000) + &"</g>".repeat(50_000);
        assert_eq!(rule(&deep), None);
        let laughs = "<!DOCTYPE svg [<!ENTITY a \"ha\"><!ENTITY b \"&a;&a;&b;\">]><svg>&b;</svg>";
        assert!(svg(laughs.as_bytes()).is_some());
    }
}
