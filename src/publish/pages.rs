//! The finished pages in memory, under paths that every system can hold.

use std::collections::{BTreeMap, btree_map};

use crate::desk::{
    OUTPUT_MARKER,
    names::{self, NameFault},
};

use super::{
    sheet::SUMS,
    survey::{KEPT_NAMES, VERSION_CONTROL},
};

/// Files to publish: relative paths, parts joined by `/`, to bytes; sorted by path.
#[derive(Debug, Clone, Default)]
pub struct Pages {
    files: BTreeMap<String, Vec<u8>>,
    /// Every file and folder in the form that ignores case, with the spelling first used and whether it is a folder.
    taken: BTreeMap<String, (String, bool)>,
}

/// Why a page cannot have its path.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum PageError {
    /// A part of the path is a name that some system cannot hold, or that leaves the folder.
    #[error("the page path {path:?} cannot be published: {fault:?} is not allowed in a file name; choose another id")]
    Name {
        /// The path.
        path: String,
        /// What is wrong with it.
        fault: NameFault,
    },
    /// The path is one that publishing itself uses, or that belongs to a version-control tool.
    #[error("the page path {path:?} is reserved for publishing; choose another id")]
    Reserved {
        /// The path.
        path: String,
    },
    /// Two pages have the same path, or paths that are the same on a system that ignores case.
    #[error("the page paths {path:?} and {other:?} are one file on many systems; choose another id for one of them")]
    Collides {
        /// The path.
        path: String,
        /// The page or folder that was there first.
        other: String,
    },
}

impl Pages {
    /// No pages.
    pub fn new() -> Self {
        Self::default()
    }

    /// Adds a page.
    ///
    /// # Errors
    /// When the path cannot be published beside those already here; the pages are then as they were.
    pub fn insert(&mut self, path: &str, bytes: impl Into<Vec<u8>>) -> Result<(), PageError> {
        if let Some(fault) = names::path_fault(path) {
            return Err(PageError::Name { path: path.to_owned(), fault });
        }
        if is_reserved(path) {
            return Err(PageError::Reserved { path: path.to_owned() });
        }
        if let Some(other) = prefixes(path).find_map(|(prefix, folder)| self.collision(prefix, folder)) {
            return Err(PageError::Collides { path: path.to_owned(), other });
        }
        for (prefix, folder) in prefixes(path) {
            self.taken.entry(names::folded(prefix)).or_insert_with(|| (prefix.to_owned(), folder));
        }
        self.files.insert(path.to_owned(), bytes.into());
        Ok(())
    }

    /// The bytes of one page.
    pub fn get(&self, path: &str) -> Option<&[u8]> {
        self.files.get(path).map(Vec::as_slice)
    }

    /// All pages, sorted by path.
    pub fn iter(&self) -> btree_map::Iter<'_, String, Vec<u8>> {
        self.files.iter()
    }

    /// How many pages there are.
    pub fn len(&self) -> usize {
        self.files.len()
    }

    /// Whether there are none.
    pub fn is_empty(&self) -> bool {
        self.files.is_empty()
    }

    fn collision(&self, prefix: &str, folder: bool) -> Option<String> {
        let (other, was_folder) = self.taken.get(&names::folded(prefix))?;
        let shared_folder = folder && *was_folder && other == prefix;
        (!shared_folder).then(|| other.clone())
    }
}

impl<'a> IntoIterator for &'a Pages {
    type Item = (&'a String, &'a Vec<u8>);
    type IntoIter = btree_map::Iter<'a, String, Vec<u8>>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

/// The folders on the way to a path, and the path itself; each with whether it is a folder.
fn prefixes(path: &str) -> impl Iterator<Item = (&str, bool)> {
    let folders = path.match_indices('/').map(|(at, _)| (path.get(..at).unwrap_or(path), true));
    folders.chain([(path, false)])
}

/// A lone hyphen is reserved because `sha256sum` would take it for the standard input.
fn is_reserved(path: &str) -> bool {
    let lower = names::folded(path);
    let whole = [OUTPUT_MARKER, SUMS, "-"].iter().any(|name| names::folded(name) == lower);
    whole || lower.split('/').any(|part| KEPT_NAMES.contains(&part) || VERSION_CONTROL.contains(&part))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paths_are_checked() {
        let mut pages = Pages::new();
        for path in ["", "/a", "a/", "../a", "a/../b", "./a", "a\\b", "C:/a", "nul.html", "a/COM1", "x./y"] {
            assert!(matches!(pages.insert(path, ""), Err(PageError::Name { .. })), "{path:?}");
        }
        for path in ["SHA256SUMS", "sha256sums", ".bayleaf-output", ".gitignore", "a/.gitkeep", ".GIT/config", "-"] {
            assert!(matches!(pages.insert(path, ""), Err(PageError::Reserved { .. })), "{path:?}");
        }
        assert!(pages.is_empty());
    }

    #[test]
    fn paths_that_are_one_file_somewhere_are_refused() {
        let mut pages = Pages::new();
        for path in ["faults/air.html", "faults/leak.html", "Köder.html", "faults.html"] {
            pages.insert(path, "x").unwrap();
        }
        let cases = [
            ("faults/air.html", "faults/air.html"),
            ("faults/AIR.html", "faults/air.html"),
            ("Faults/new.html", "faults"),
            ("faults", "faults"),
            ("faults.html/x", "faults.html"),
            ("Ko\u{308}der.html", "Köder.html"),
        ];
        for (path, other) in cases {
            let expected = PageError::Collides { path: path.to_owned(), other: other.to_owned() };
            assert_eq!(pages.insert(path, "y"), Err(expected));
        }
        assert_eq!(pages.len(), 4);
        assert_eq!(pages.get("faults/air.html"), Some(b"x".as_slice()));
    }
}
