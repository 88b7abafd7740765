//! The A to Z list: every page and every other word for it.

use std::collections::BTreeMap;

use super::{Draft, guide_draft, kind_word};
use crate::render::documents;
use crate::render::place::Place;
use crate::render::views::a_to_z as view;

pub(super) fn draft(place: Place<'_>) -> Draft {
    let mut letters: BTreeMap<String, Vec<view::Entry>> = BTreeMap::new();
    for name in documents::names(place.guide) {
        let entry = view::Entry {
            href: place.href(&name.path),
            kind: kind_word(place, name.kind),
            see: name.see,
            text: name.text,
        };
        letters.entry(letter_of(&entry.text)).or_default().push(entry);
    }
    let letters = letters.into_iter().map(|(letter, mut entries)| {
        entries.sort_by_key(|entry| (entry.text.to_lowercase(), entry.href.clone()));
        entries.dedup_by(|left, right| left.text == right.text && left.href == right.href);
        view::Letter { anchor: anchor_of(&letter), letter, entries }
    });
    let view = view::AToZ { letters: letters.collect() };
    guide_draft(place, "a-z.html", "a-to-z", place.word("a_to_z"), &view)
}

/// The first letter, as a heading; everything that begins with no letter stands under `#`.
fn letter_of(text: &str) -> String {
    let first = text.chars().find(|letter| letter.is_alphanumeric());
    match first {
        Some(letter) if letter.is_alphabetic() => letter.to_uppercase().collect(),
        _ => "#".to_owned(),
    }
}

fn anchor_of(letter: &str) -> String {
    match letter.chars().next() {
        Some(first) if first.is_ascii_alphabetic() => format!("letter-{}", first.to_ascii_lowercase()),
        Some('#') | None => "letter-other".to_owned(),
        Some(first) => format!("letter-{:x}", u32::from(first)),
    }
}
