//! Background notes.

use super::{Draft, entry_draft, kind_word};
use crate::model::{Entry, Kind, Note};
use crate::render::place::Place;
use crate::render::views::note as view;

pub(super) fn draft<'g>(place: Place<'g>, note: &'g Note) -> Draft {
    let page = view::Note {
        body_html: place.blocks(&note.body, "part"),
        related: place.mentioned_by(
            Kind::Note,
            note.id(),
            &[Kind::Fault, Kind::Procedure, Kind::Part, Kind::Note, Kind::Bulletin],
        ),
        sources: Vec::new(),
    };
    entry_draft(place, note, "note", kind_word(place, Kind::Note), &page)
}
