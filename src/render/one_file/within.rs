//! Addresses inside the one file: fragments for pages, data for everything else.

use base64::{Engine, engine::general_purpose::STANDARD};
use sha2::{Digest, Sha256};

use crate::render::Files;

/// The files that everything is taken from.
pub(super) struct Within<'f> {
    pub(super) files: &'f Files,
}

impl Within<'_> {
    /// Where an address of the page at `path` leads inside the file. What leads out of the guide stays as it is.
    pub(super) fn address(&self, path: &str, address: &str) -> String {
        let (file, fragment) = address.split_once('#').unwrap_or((address, ""));
        let target = resolved(path, file);
        match self.files.get(&target) {
            Some(_) if target.ends_with(".html") && fragment.is_empty() => format!("#{}", name(&target)),
            Some(_) if target.ends_with(".html") => format!("#{}:{fragment}", name(&target)),
            Some(bytes) => data(&target, bytes),
            None => address.to_owned(),
        }
    }

    /// A style sheet with the files it names as data.
    pub(super) fn style(&self, path: &str, sheet: &str) -> String {
        let mut out = String::with_capacity(sheet.len());
        let mut rest = sheet;
        while let Some((before, after)) = rest.split_once("url(\"") {
            let (address, after) = after.split_once('"').unwrap_or((after, ""));
            out.push_str(before);
            out.push_str(&format!("url(\"{}\"", self.address(path, address)));
            rest = after;
        }
        out.push_str(rest);
        out.replace("</", "<\\/")
    }
}

/// The name of a page: its path without its ending. No path holds a colon, which parts a page from a place in it.
pub(super) fn name(path: &str) -> &str {
    path.strip_suffix(".html").unwrap_or(path)
}

/// A relative address seen from a page, as a path from the top folder.
pub(super) fn resolved(path: &str, address: &str) -> String {
    let mut parts: Vec<&str> = path.split('/').collect();
    parts.pop();
    for part in address.split('/') {
        match part {
            "" | "." => {}
            ".." => drop(parts.pop()),
            part => parts.push(part),
        }
    }
    parts.join("/")
}

fn data(path: &str, bytes: &[u8]) -> String {
    let kind = match path.rsplit('.').next().unwrap_or_default() {
        "svg" => "image/svg+xml",
        "png" => "image/png",
        "jpg" | "jpeg" => "image/jpeg",
        "gif" => "image/gif",
        "webp" => "image/webp",
        "ttf" => "font/ttf",
        "woff2" => "font/woff2",
        _ => "application/octet-stream",
    };
    format!("data:{kind};base64,{}", STANDARD.encode(bytes))
}

/// The source expression of a policy that lets exactly this text run or style.
pub(super) fn allowed(text: &str) -> String {
    format!("'sha256-{}'", STANDARD.encode(Sha256::digest(text.as_bytes())))
}

/// A script that cannot end the element it stands in; inside strings and patterns, the only places where the two texts
/// occur, a backslash more means the same.
pub(super) fn script(text: &str) -> String {
    text.replace("</", "<\\/").replace("<!--", "<\\!--")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_become_fragments_and_data() {
        let bytes = |text: &str| text.as_bytes().to_vec();
        let files = Files::from([("faults/a.html".into(), bytes("")), ("media/b.svg".into(), bytes("<svg/>"))]);
        let within = Within { files: &files };
        assert_eq!(within.address("parts/x.html", "../faults/a.html#step-1"), "#faults/a:step-1");
        assert_eq!(within.address("faults/x.html", "a.html"), "#faults/a");
        assert_eq!(within.address("parts/x.html", "../media/b.svg"), "data:image/svg+xml;base64,PHN2Zy8+");
        assert_eq!(within.address("index.html", "mailto:a@b.example"), "mailto:a@b.example");
        assert_eq!(
            within.style("style/a.css", "a{b:url(\"../media/b.svg\")}"),
            "a{b:url(\"data:image/svg+xml;base64,PHN2Zy8+\")}"
        );
    }

    /// The example of CSP Level 3 for `alert('Hello, world.');` (from memory).
    #[test]
    fn hashes_are_those_of_the_standard() {
        assert_eq!(allowed("alert('Hello, world.');"), "'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='");
    }
}
