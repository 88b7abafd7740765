//! The pocket card for the toolbox lid.

use super::pieces::{Link, Tag};
use serde::Serialize;

/// Declared size of the card.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
pub enum Size {
    /// 105 mm by 148 mm.
    #[default]
    #[serde(rename = "a6")]
    A6,
    /// 3 in by 5 in.
    #[serde(rename = "3x5")]
    ThreeByFive,
    /// A4 on its side, folded once to A5: two faces a sheet side.
    #[serde(rename = "a4-folded")]
    FoldedA4,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Card {
    pub size: Size,
    pub faces: Vec<Face>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Face {
    pub title: String,
    pub blocks: Vec<Block>,
    /// Guide, edition and date; on the front also who may work.
    pub foot_html: String,
}

/// One block of a face; only the lists that are filled are drawn.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Block {
    pub title: String,
    pub text_html: Option<String>,
    pub steps_html: Vec<String>,
    pub rows: Vec<Row>,
    pub items: Vec<Item>,
    pub tags: Vec<CardTag>,
    pub codes: Vec<Code>,
}

/// A name and its value, at the two ends of a line.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Row {
    pub says: String,
    pub value: String,
}

/// Something with what there is to say about it.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Item {
    pub head: String,
    pub says: String,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct CardTag {
    pub work: Link,
    pub tag: Tag,
    /// The tag in words, with what stands before them.
    pub says: String,
}

/// A QR code with the words beside it.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Code {
    pub svg_html: String,
    pub says_html: String,
}
