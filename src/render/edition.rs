//! What the scripts know of this edition: its number, its fingerprint, the variants, and the interface's words.

use std::fmt::Write;

use serde::Serialize;
use sha2::{Digest, Sha256};

use super::Files;
use super::place::Place;
use super::theme::Words;
use crate::model;

/// Its path from the top folder.
pub(super) const PATH: &str = "edition.js";

/// Hexadecimal digits of the fingerprint: enough to tell copies apart on paper.
const DIGITS: usize = 12;

#[derive(Serialize)]
struct Edition<'g> {
    title: &'g str,
    edition: &'g str,
    date: String,
    hash: &'g str,
    variants: Vec<Variant<'g>>,
    words: Words,
}

#[derive(Serialize)]
struct Variant<'g> {
    id: &'g str,
    name: &'g str,
    /// First and last serial number of each range; the last is empty while it is still built.
    serials: Vec<[String; 2]>,
}

/// The first digits of the SHA-256 over every file, in the order of their paths: each path, a zero byte, the length as
/// eight bytes, the bytes.
pub(super) fn fingerprint(files: &Files) -> String {
    let mut digest = Sha256::new();
    for (path, bytes) in files {
        digest.update(path.as_bytes());
        digest.update([0]);
        digest.update((bytes.len() as u64).to_be_bytes());
        digest.update(bytes);
    }
    let mut hex = String::new();
    for byte in digest.finalize() {
        // Writing to a string cannot fail.
        let _ = write!(hex, "{byte:02x}");
    }
    hex.truncate(DIGITS);
    hex
}

fn variant(variant: &model::Variant) -> Variant<'_> {
    let range = |range: &model::SerialRange| {
        let last = range.last.as_ref().map(|last| last.value.clone());
        [range.first.value.clone(), last.unwrap_or_default()]
    };
    Variant {
        id: &variant.head.id.value,
        name: &variant.name.value,
        serials: variant.serials.iter().map(range).collect(),
    }
}

/// One classic script with nothing but a literal in it.
pub(super) fn script(place: Place<'_>, hash: &str) -> String {
    let edition = &place.guide.edition;
    let edition = Edition {
        title: &edition.title.value,
        edition: &edition.number.value,
        date: edition.date.value.to_string(),
        hash,
        variants: place.guide.variants.iter().map(variant).collect(),
        words: place.theme.script_words(),
    };
    let json = serde_json::to_string(&edition).unwrap_or_else(|_| "{}".to_owned());
    format!("var Bayleaf=Bayleaf||{{}};Bayleaf.guide={json};\n")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_byte_and_every_name_changes_the_fingerprint() {
        let files = |path: &str, bytes: &[u8]| Files::from([(path.to_owned(), bytes.to_vec())]);
        let one = fingerprint(&files("a", b"x"));
        assert_eq!(one.len(), DIGITS);
        assert_eq!(one, fingerprint(&files("a", b"x")));
        assert_ne!(one, fingerprint(&files("a", b"y")));
        assert_ne!(one, fingerprint(&files("b", b"x")));
    }
}
