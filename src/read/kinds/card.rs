//! `card.toml`

use crate::model::{Card, CardBlock, CardSize, CardTopic, Guide, Kind, ProseRole};
use crate::read::record::Record;
use crate::text::Located;

const SIZES: [(&str, CardSize); 3] =
    [("a6", CardSize::A6), ("3x5", CardSize::Index), ("folded-a4", CardSize::FoldedA4)];

const TOPICS: [(&str, CardTopic); 10] = [
    ("limits", CardTopic::Limits),
    ("fuses", CardTopic::Fuses),
    ("fluids", CardTopic::Fluids),
    ("torque", CardTopic::Torque),
    ("hoses", CardTopic::Hoses),
    ("recalibration", CardTopic::Recalibration),
    ("depot", CardTopic::Depot),
    ("cautions", CardTopic::Cautions),
    ("code", CardTopic::Code),
    ("text", CardTopic::Text),
];

/// The one card.
pub(in crate::read) fn file(record: &mut Record<'_, '_>, guide: &mut Guide) {
    guide.card = record.single("card", card);
}

fn card(top: &mut Record<'_, '_>) -> Option<Card> {
    let main = top.child("card", |record| {
        let title = record.line("title", ProseRole::Text, "what stands on top of the card");
        let size = record.one_of("size", &SIZES);
        Some((title?, size?))
    });
    let blocks = top.children("block", block);
    let (title, size) = main?;
    Some(Card { title, size, blocks, span: top.span })
}

fn block(record: &mut Record<'_, '_>) -> Option<CardBlock> {
    let topic = record.one_of("topic", &TOPICS);
    let side = record.count_opt("side").unwrap_or(Located::new(1, record.header));
    if !(1..=2).contains(&side.value) {
        record.complain(crate::report::Finding::new(
            "wrong-type",
            side.span,
            "A card has two sides.",
            "Write 1 for the front or 2 for the back.",
        ));
    }
    let block = CardBlock {
        title: record.line_opt("title", ProseRole::Text),
        readings: record.links("readings", Kind::Reading),
        parts: record.links("parts", Kind::Part),
        circuits: record.links("circuits", Kind::Circuit),
        faults: record.links("faults", Kind::Fault),
        procedures: record.links("procedures", Kind::Procedure),
        says: record.prose_opt("says", ProseRole::Text),
        span: record.span,
        side,
        topic: topic?,
    };
    Some(block)
}
