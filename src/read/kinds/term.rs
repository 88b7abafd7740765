//! `terms.toml`

use crate::model::{Guide, Id, Kind, ProseRole, Term};
use crate::read::record::Record;

/// Every `[[term]]` of the file.
pub(in crate::read) fn file(record: &mut Record<'_, '_>, guide: &mut Guide) {
    for term in record.entries("term", term) {
        guide.terms.insert(Id::new(term.head.id.value.as_str()), term);
    }
}

fn term(record: &mut Record<'_, '_>) -> Option<Term> {
    let head = record.head(Kind::Term);
    let word = record.word("word", "the preferred word");
    let meaning = record.prose("meaning", ProseRole::Text, "what it means here");
    let avoid = record.words("avoid");
    let also_said = record.words("also_said");
    Some(Term { head: head?, word: word?, meaning: meaning?, avoid, also_said })
}
