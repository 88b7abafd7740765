//! What search knows of the guide: every name of every page, and its text.

use super::address;
use crate::model::{EntryKey, Guide, Kind, ProseRole};

/// A name under which a page is looked up.
pub(super) struct PageName {
    pub(super) text: String,
    pub(super) kind: Kind,
    pub(super) path: String,
    /// The page's own title, where `text` is another word for it.
    pub(super) see: Option<String>,
}

/// Every name of every page: titles, other words, codes, part numbers, marks.
pub(super) fn names(guide: &Guide) -> Vec<PageName> {
    let mut names = Vec::new();
    for entry in guide.entries() {
        let Some(path) = address::of(entry.kind, &entry.head.id.value) else { continue };
        let name = |text: &str, see: Option<String>| PageName {
            text: text.to_owned(),
            kind: entry.kind,
            path: path.clone(),
            see,
        };
        names.push(name(entry.title, None));
        let others = others(guide, entry.kind, &entry.head.id.value);
        names.extend(others.iter().map(|other| name(other, Some(entry.title.to_owned()))));
    }
    names
}

/// Other words for a page.
fn others(guide: &Guide, kind: Kind, id: &str) -> Vec<String> {
    match kind {
        Kind::Fault => guide.faults.find(id).map(fault_names),
        Kind::Part => guide.parts.find(id).map(part_names),
        Kind::Bulletin => guide.bulletins.find(id).map(|bulletin| vec![bulletin.number.value.clone()]),
        Kind::Term => guide.terms.find(id).map(|term| term.also_said.iter().map(|said| said.value.clone()).collect()),
        _ => None,
    }
    .unwrap_or_default()
}

fn fault_names(fault: &crate::model::Fault) -> Vec<String> {
    fault.also_said.iter().chain(&fault.codes).map(|name| name.value.clone()).collect()
}

fn part_names(part: &crate::model::Part) -> Vec<String> {
    part.number.iter().chain(&part.mark).chain(&part.supersedes).map(|name| name.value.clone()).collect()
}

/// Everything written in an entry, in the order written.
pub(super) fn body(guide: &Guide, key: &EntryKey) -> String {
    let texts =
        guide.index.prose.iter().filter(|site| site.from.as_ref() == Some(key) && site.role != ProseRole::Quoted);
    texts.map(|site| site.text.as_str()).collect::<Vec<_>>().join("\n")
}
