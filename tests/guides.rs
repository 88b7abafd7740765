//! The guides that tests change: the demo, and the small one that the examples of rule pages are laid over.

use std::collections::BTreeMap;

use include_dir::{Dir, include_dir};

/// Files of a guide by their paths.
pub type Files = BTreeMap<String, Vec<u8>>;

static DEMO: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/content");
static BASE: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/tests/rules/base");

pub fn demo() -> Files {
    files(&DEMO)
}

pub fn base() -> Files {
    files(&BASE)
}

fn files(whole: &Dir<'_>) -> Files {
    let mut files = Files::new();
    let mut folders = vec![whole];
    while let Some(folder) = folders.pop() {
        folders.extend(folder.dirs());
        files.extend(folder.files().map(|file| (file.path().to_str().unwrap().to_owned(), file.contents().to_vec())));
    }
    files
}
