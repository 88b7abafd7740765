//! The A to Z list: every page and every other word for it. A long list is one page a letter, a very long letter
//! several.

use std::collections::BTreeMap;

use super::{Draft, Order, guide_draft, kind_word};
use crate::model::Guide;
use crate::render::documents::{self, PageName};
use crate::render::place::Place;
use crate::render::views::a_to_z as view;

/// Up to so many names stand on one page, where the browser's own search finds them.
const ONE_PAGE: usize = 400;
/// So many names of one letter make a page.
const OF_A_LETTER: usize = 250;

const PATH: &str = "a-z.html";

/// Names under one letter, as they stand on one page.
struct Section {
    letter: String,
    anchor: String,
    /// Of a letter with several pages, the number of this one.
    number: usize,
    names: Vec<PageName>,
}

impl Section {
    fn path(&self) -> String {
        let number = if self.number > 1 { format!("-{}", self.number) } else { String::new() };
        format!("a-z/{}{number}.html", self.anchor)
    }
}

/// The pages of the list.
pub(super) fn orders(guide: &Guide) -> Vec<Order<'_>> {
    let names = documents::names(guide);
    let split = names.len() > ONE_PAGE;
    let sections = sections(names, if split { OF_A_LETTER } else { usize::MAX });
    let nav: Vec<(String, String)> = sections
        .iter()
        .filter(|section| section.number == 1)
        .map(|section| {
            (section.letter.clone(), if split { section.path() } else { format!("{PATH}#{}", section.anchor) })
        })
        .collect();
    let all = nav.clone();
    if !split {
        let make = move |place: Place<'_>| page(place, PATH, &all, &sections, Vec::new());
        return vec![Order { path: PATH.to_owned(), make: Box::new(make) }];
    }
    let ranges: Vec<view::Range> = sections.iter().map(range).collect();
    let first =
        Order { path: PATH.to_owned(), make: Box::new(move |place| page(place, PATH, &all, &[], ranges.clone())) };
    let others = sections.into_iter().map(|section| {
        let (nav, path) = (nav.clone(), section.path());
        let sections = [section];
        Order { path: path.clone(), make: Box::new(move |place| page(place, &path, &nav, &sections, Vec::new())) }
    });
    std::iter::once(first).chain(others).collect()
}

fn page(
    place: Place<'_>,
    path: &str,
    nav: &[(String, String)],
    sections: &[Section],
    ranges: Vec<view::Range>,
) -> Draft {
    let here = |letter: &str| path != PATH && sections.iter().any(|section| section.letter == letter);
    let nav = nav.iter().map(|(letter, path)| view::NavLetter {
        href: place.href(path),
        here: here(letter),
        letter: letter.clone(),
    });
    let ranges = ranges.into_iter().map(|range| view::Range { href: place.href(&range.href), ..range });
    let letters = sections.iter().map(|section| letter(place, section));
    let view = view::AToZ { nav: nav.collect(), ranges: ranges.collect(), letters: letters.collect() };
    guide_draft(place, path, "a-to-z", place.word("a_to_z"), &view)
}

fn letter(place: Place<'_>, section: &Section) -> view::Letter {
    let entry = |name: &PageName| view::Entry {
        href: place.href(&name.path),
        kind: kind_word(place, name.kind),
        see: name.see.clone(),
        text: name.text.clone(),
    };
    view::Letter {
        anchor: section.anchor.clone(),
        letter: section.letter.clone(),
        entries: section.names.iter().map(entry).collect(),
    }
}

fn range(section: &Section) -> view::Range {
    let text = |name: Option<&PageName>| name.map(|name| name.text.clone()).unwrap_or_default();
    view::Range {
        href: section.path(),
        letter: section.letter.clone(),
        first: text(section.names.first()),
        last: text(section.names.last()),
    }
}

fn sections(names: Vec<PageName>, most: usize) -> Vec<Section> {
    let mut letters: BTreeMap<String, Vec<PageName>> = BTreeMap::new();
    for name in names {
        letters.entry(letter_of(&name.text)).or_default().push(name);
    }
    let mut found = Vec::new();
    for (letter, mut names) in letters {
        names.sort_by_key(|name| (name.text.to_lowercase(), name.path.clone()));
        names.dedup_by(|left, right| left.text == right.text && left.path == right.path);
        let mut number = 0;
        while !names.is_empty() {
            number += 1;
            let rest = names.split_off(names.len().min(most));
            found.push(Section { anchor: anchor_of(&letter), letter: letter.clone(), number, names });
            names = rest;
        }
    }
    found
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::Kind;

    #[test]
    fn a_long_letter_has_several_pages() {
        let name = |n: usize| PageName {
            text: format!("{} {n:04}", if n < 600 { "Pump" } else { "Öl" }),
            kind: Kind::Part,
            path: format!("parts/{n}.html"),
            see: None,
        };
        let found = sections((0..700).rev().map(name).collect(), 250);
        let shapes: Vec<_> = found.iter().map(|section| (section.path(), section.names.len())).collect();
        let expected = [
            ("a-z/letter-p.html", 250),
            ("a-z/letter-p-2.html", 250),
            ("a-z/letter-p-3.html", 100),
            ("a-z/letter-d6.html", 100),
        ];
        assert_eq!(shapes, expected.map(|(path, names)| (path.to_owned(), names)));
        assert_eq!(range(&found[1]).first, "Pump 0250");
    }
}
