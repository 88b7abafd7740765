//! Mistakes planted in one copy of the demo guide: all of them are found in one run, at the right line and column, and
//! nothing else is. They are data, so that more can be added, and each names the text it changes, so that it survives
//! edits of the demo.

mod families;
mod mistakes;

use std::collections::BTreeMap;

use jiff::civil::{Date, date};

use crate::forms::{findings_on, line_and_column};
use crate::guides::{Files, demo};
use mistakes::MISTAKES;

/// The day of the demo's edition.
const DAY: Date = date(2026, 9, 1);

/// One mistake: in `file`, `put` stands instead of `find`, which breaks `rule`.
struct Planted {
    kind: &'static str,
    file: &'static str,
    find: &'static str,
    put: &'static str,
    rule: &'static str,
    at: &'static str,
}

/// Marks the place of the mistake with this number in a text; taken out again before the guide is read.
fn marker(number: usize) -> char {
    char::from_u32(0xf0000 + u32::try_from(number).unwrap()).unwrap()
}

impl Planted {
    fn plant(&self, text: &str, number: usize) -> String {
        let start = text.find(self.find).unwrap_or_else(|| panic!("{} holds no {:?}", self.file, self.find));
        let text = text.replacen(self.find, self.put, 1);
        let piece = self.at.trim_start_matches(['@', '>']);
        let place = match self.at.chars().next() {
            Some('@') => text[..start].rfind(piece),
            Some('>') => text[start + self.put.len()..].find(piece).map(|at| start + self.put.len() + at),
            _ => self.put.find(piece).map(|at| start + at),
        };
        let place = place.unwrap_or_else(|| panic!("{}: {piece:?} is nowhere", self.file));
        format!("{}{}{}", &text[..place], marker(number), &text[place..])
    }
}

/// Mistakes of form and reference, then those of content.
fn all() -> impl Iterator<Item = &'static Planted> {
    MISTAKES.iter().chain(families::MISTAKES)
}

/// The demo with all mistakes, and what must be found.
fn planted() -> (Files, Vec<(String, String, usize, usize)>) {
    let mut files = demo();
    for (number, mistake) in all().enumerate() {
        let text = String::from_utf8(files[mistake.file].clone()).unwrap();
        files.insert(mistake.file.to_owned(), mistake.plant(&text, number).into_bytes());
    }
    let is_marker = |letter: char| (0xf0000..0xf0000 + 0x1000).contains(&u32::from(letter));
    let mut expected = Vec::new();
    for (path, bytes) in files.iter_mut().filter(|(path, _)| !path.starts_with("media/")) {
        let text = String::from_utf8(bytes.clone()).unwrap();
        let clean: String = text.chars().filter(|letter| !is_marker(*letter)).collect();
        let (mut before, mut at) = (0, 0);
        for letter in text.chars() {
            if is_marker(letter) {
                let number = usize::try_from(u32::from(letter) - 0xf0000).unwrap();
                let mistake = all().nth(number).unwrap();
                assert_eq!(mistake.file, path);
                let (line, column) = line_and_column(&clean, at);
                expected.push((mistake.rule.to_owned(), path.clone(), line, column));
                before += 1;
            } else {
                at += letter.len_utf8();
            }
        }
        assert_eq!(before, all().filter(|mistake| mistake.file == path).count(), "{path}");
        *bytes = clean.into_bytes();
    }
    (files, expected)
}

#[test]
fn the_demo_has_nothing_wrong() {
    assert_eq!(findings_on(demo(), DAY), []);
}

#[test]
fn every_planted_mistake_is_found_in_one_run_and_nothing_else() {
    let (files, mut expected) = planted();
    if let Ok(folder) = std::env::var("PLANTED_TO") {
        write_out(&files, std::path::Path::new(&folder));
    }
    let mut found = findings_on(files, DAY);
    expected.sort();
    found.sort();
    let lacking: Vec<_> = expected.iter().filter(|it| !found.contains(it)).collect();
    let extra: Vec<_> = found.iter().filter(|it| !expected.contains(it)).collect();
    assert!(lacking.is_empty() && extra.is_empty(), "not found: {lacking:#?}\nbesides: {extra:#?}");
    assert_eq!(found.len(), all().count());
    assert!(found.len() >= 60, "{}", found.len());
}

/// Writes the guide to a folder, so that its messages can be read with the program.
fn write_out(files: &Files, folder: &std::path::Path) {
    for (path, bytes) in files {
        let path = folder.join(path);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, bytes).unwrap();
    }
}

#[test]
fn there_are_forty_mistakes_and_three_to_five_of_each_kind() {
    let mut kinds: BTreeMap<&str, usize> = BTreeMap::new();
    for mistake in MISTAKES {
        *kinds.entry(mistake.kind).or_default() += 1;
    }
    let needed =
        ["syntax", "unknown key", "wrong type", "unit", "missing field", "reference", "source", "variant", "link"];
    assert!(MISTAKES.len() >= 40, "{}", MISTAKES.len());
    assert!(needed.iter().all(|kind| kinds.contains_key(kind)), "{kinds:?}");
    assert!(kinds.values().all(|count| (3..=5).contains(count)), "{kinds:?}");
}
