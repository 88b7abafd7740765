//! Everything a publication consists of: the pages, the marker, and the checksums over both.

use std::{borrow::Cow, collections::BTreeSet, fmt::Write};

use rayon::prelude::*;
use sha2::{Digest, Sha256};

use crate::desk::OUTPUT_MARKER;

use super::Pages;

/// The file with the checksums of all others, as `sha256sum -c` reads it.
pub const SUMS: &str = "SHA256SUMS";

const MARKER_TEXT: &str = "Bayleaf makes this folder and replaces it whole whenever the guide is compiled.\n\
                           Keep nothing here that is not found elsewhere.\n";

/// The files to publish, sorted by path.
pub(super) struct Sheet<'a> {
    pub files: Vec<(&'a str, Cow<'a, [u8]>)>,
}

impl<'a> Sheet<'a> {
    /// Adds marker and checksums to the pages.
    pub fn new(pages: &'a Pages) -> Self {
        let page = |(path, bytes): (&'a String, &'a Vec<u8>)| (path.as_str(), Cow::from(bytes));
        let mut files: Vec<_> = pages.iter().map(page).collect();
        files.push((OUTPUT_MARKER, MARKER_TEXT.as_bytes().into()));
        files.sort_by_key(|(path, _)| *path);
        let sums: Vec<String> = files.par_iter().map(|(path, bytes)| sum_line(path, bytes)).collect();
        files.push((SUMS, sums.concat().into_bytes().into()));
        files.sort_by_key(|(path, _)| *path);
        Self { files }
    }

    pub fn has(&self, path: &str) -> bool {
        self.files.binary_search_by_key(&path, |(path, _)| path).is_ok()
    }

    /// The folders that the files need, each before those inside it; without the output folder itself.
    pub fn folders(&self) -> BTreeSet<&'a str> {
        self.files.iter().flat_map(|(path, _)| ancestors(path)).collect()
    }
}

/// The folders on the way to a path, outermost first.
pub(super) fn ancestors(path: &str) -> impl Iterator<Item = &str> {
    path.match_indices('/').filter_map(|(at, _)| path.get(..at))
}

/// One line of GNU coreutils' format: digest in lower-case hexadecimal, two spaces, name. Names that would need
/// escaping (backslash, line end) never get into [`Pages`].
fn sum_line(path: &str, bytes: &[u8]) -> String {
    let mut line = String::with_capacity(67 + path.len());
    for byte in Sha256::digest(bytes) {
        // Writing to a string cannot fail.
        let _ = write!(line, "{byte:02x}");
    }
    line + "  " + path + "\n"
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sums_cover_everything_but_themselves() {
        let mut pages = Pages::new();
        pages.insert("a/b.html", "abc").unwrap();
        pages.insert("Z.html", "").unwrap();
        let sheet = Sheet::new(&pages);
        let paths: Vec<_> = sheet.files.iter().map(|(path, _)| *path).collect();
        assert_eq!(paths, [OUTPUT_MARKER, SUMS, "Z.html", "a/b.html"]);
        let text = std::str::from_utf8(&sheet.files[1].1).unwrap();
        let lines: Vec<_> = text.lines().collect();
        assert_eq!(lines.len(), 3);
        // FIPS 180-4's example digests of the empty message and of "abc" (from memory).
        assert_eq!(lines[1], "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855  Z.html");
        assert_eq!(lines[2], "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad  a/b.html");
        assert!(sheet.has(SUMS) && !sheet.has("a"));
        assert_eq!(sheet.folders().into_iter().collect::<Vec<_>>(), ["a"]);
    }
}
