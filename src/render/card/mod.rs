//! Whether the pocket card fits on its sheet: the same faces that are printed, measured with the same type.

mod flow;
mod metrics;
pub(super) mod qr;
mod sheet;
mod text;

use crate::model::{Card, Guide};
use crate::reason::Facts;
use crate::render::pages;
use crate::render::place::Place;
use crate::render::theme::Theme;
use crate::text::Span;

/// A face of the card that does not hold what the guide puts on it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Overfull {
    /// 1 for the front, 2 for the back.
    pub side: u32,
    /// The first block that reaches over the end, or the whole card where there is none.
    pub span: Span,
    /// Whole millimetres that are missing, at least 1.
    pub over: u32,
    /// Whole millimetres that the face has for its content.
    pub room: u32,
}

/// The faces that do not fit, front first. The shipped style is measured, with the words of the guide's language; a
/// theme with a style of its own is not looked at.
pub fn overfull(guide: &Guide, facts: &Facts) -> Vec<Overfull> {
    let Some(card) = &guide.card else { return Vec::new() };
    let Ok(theme) = Theme::words_alone(&guide.edition.language) else { return Vec::new() };
    let place = Place { guide, facts, theme: &theme, root: "" };
    let view = pages::card_view(place, card);
    let sheet = sheet::Sheet::of(view.size);
    let faces = (1..).zip(&view.faces);
    faces.filter_map(|(side, face)| judged(card, side, sheet.overflow(face)?)).collect()
}

fn judged(card: &Card, side: u32, overflow: sheet::Overflow) -> Option<Overfull> {
    let mut blocks = card.blocks.iter().filter(|block| block.side.value == side);
    let span = overflow.block.and_then(|index| blocks.nth(index)).map_or(card.span, |block| block.span);
    Some(Overfull { side, span, over: overflow.over, room: overflow.room })
}
