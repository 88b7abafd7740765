//! Bulletins and their register.

use super::{Draft, entry_draft, guide_draft, kind_word};
use crate::model::{Bulletin, Entry, Kind};
use crate::render::place::Place;
use crate::render::views::bulletin as view;
use crate::render::views::pieces::Link;

pub(super) fn draft<'g>(place: Place<'g>, bulletin: &'g Bulletin) -> Draft {
    let page = view::Bulletin {
        number: bulletin.number.value.clone(),
        date: bulletin.date.value.to_string(),
        what_html: place.blocks(&bulletin.says, "what"),
        supersedes: bulletin.supersedes.iter().map(|older| place.link(Kind::Bulletin, older.as_str())).collect(),
        superseded_by: superseded_by(place, bulletin),
        touches: touches(place, bulletin),
        sources: Vec::new(),
    };
    entry_draft(place, bulletin, "bulletin", kind_word(place, Kind::Bulletin), &page)
}

/// All bulletins, the newest first.
pub(super) fn register(place: Place<'_>) -> Draft {
    let mut bulletins: Vec<&Bulletin> = place.guide.bulletins.iter().collect();
    bulletins.sort_by_key(|bulletin| std::cmp::Reverse((bulletin.date.value, bulletin.head.id.value.clone())));
    let row = |bulletin: &&Bulletin| view::Row {
        link: place.link(Kind::Bulletin, bulletin.id()),
        number: bulletin.number.value.clone(),
        date: bulletin.date.value.to_string(),
        touches: touches(place, bulletin).into_iter().map(|touch| touch.entry).collect(),
        superseded_by: superseded_by(place, bulletin),
    };
    let view = view::Bulletins { rows: bulletins.iter().map(row).collect() };
    guide_draft(place, "bulletins.html", "bulletins", place.word("bulletins"), &view)
}

fn touches(place: Place<'_>, bulletin: &Bulletin) -> Vec<view::Touch> {
    let touch = |touched: &crate::text::Located<(Kind, String)>| {
        let (kind, id) = &touched.value;
        view::Touch { entry: place.link(*kind, id), kind: kind_word(place, *kind) }
    };
    bulletin.touches.iter().map(touch).collect()
}

fn superseded_by(place: Place<'_>, bulletin: &Bulletin) -> Option<Link> {
    let newer = place
        .guide
        .bulletins
        .iter()
        .find(|newer| newer.supersedes.iter().any(|older| older.as_str() == bulletin.id()))?;
    Some(place.link(Kind::Bulletin, newer.id()))
}
