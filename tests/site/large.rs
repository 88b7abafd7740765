//! A guide of more than a thousand pages, whose search index is read in shards.

use std::{fmt::Write, fs, path::Path, sync::LazyLock};

use crate::publish::text;

use super::{Site, assert_none, compile, copy_guide, guide, run};

/// Notes beside the demo's own entries.
const NOTES: usize = 1000;

/// The demo with many more notes, published once for all tests.
pub(super) static LARGE: LazyLock<Site> = LazyLock::new(|| {
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("large-site");
    if folder.exists() {
        fs::remove_dir_all(&folder).unwrap();
    }
    let from = tempfile::TempDir::new().unwrap();
    copy_guide(&guide(), from.path(), false, |_, text| text);
    for n in 0..NOTES {
        let mut note = format!("+++\ntitle = \"{}\"\nreviewed = 2026-06-22\n+++\n", title(n));
        writeln!(note, "Trailer {n} stood in row {} of the yard over the winter.", n % 37).unwrap();
        fs::write(from.path().join(format!("notes/yard-{n:04}.md")), note).unwrap();
    }
    let output = run(compile(from.path(), &folder));
    assert!(output.status.success(), "{}{}", text(&output.stdout), text(&output.stderr));
    Site::read(folder)
});

/// What a note is called; no two alike, and no word of them is in the demo.
pub(super) fn title(n: usize) -> String {
    const YARDS: [&str; 10] = [
        "Aldermoor",
        "Brackwell",
        "Cinderby",
        "Dunstrow",
        "Eskfold",
        "Farrowby",
        "Gorsley",
        "Hembury",
        "Ickworth",
        "Jarrold",
    ];
    let yard = |digit: usize| YARDS[digit % 10];
    format!("{} {} {}", yard(n / 100), yard(n / 10), yard(n))
}

#[test]
fn the_search_that_pages_ask_for_is_there() {
    let mut missing = Vec::new();
    for (path, page) in &LARGE.pages {
        let asked = page.all("form").filter_map(|(_, form)| form.attribute("data-search"));
        let files: Vec<&str> = asked.map(|address| address.trim_start_matches("../")).collect();
        if files.len() != 1 || !LARGE.files.contains_key(files[0]) {
            missing.push(format!("{path}: {files:?}"));
        }
    }
    assert_none("pages whose search is not there", &missing);
    assert!(LARGE.files.contains_key("search/s1.js"), "one shard is no large guide");
}
