//! `bulletins/*.toml`

use crate::model::{Bulletin, Guide, Id, Kind, ProseRole};
use crate::read::record::Record;

/// Every `[[bulletin]]` of a file.
pub(in crate::read) fn file(record: &mut Record<'_, '_>, guide: &mut Guide) {
    for bulletin in record.entries("bulletin", bulletin) {
        guide.bulletins.insert(Id::new(bulletin.head.id.value.as_str()), bulletin);
    }
}

fn bulletin(record: &mut Record<'_, '_>) -> Option<Bulletin> {
    let head = record.head(Kind::Bulletin);
    let number = record.word("number", "the number as printed on it");
    let title = record.line("title", ProseRole::Text, "what it is about");
    let date = record.date("date");
    let says = record.prose("says", ProseRole::Text, "what changed");
    let touches = record.any_entries("touches");
    let supersedes = record.links("supersedes", Kind::Bulletin);
    Some(Bulletin { head: head?, number: number?, title: title?, date: date?, says: says?, touches, supersedes })
}
