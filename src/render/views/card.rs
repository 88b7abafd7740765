//! The pocket card for the toolbox lid.

use super::pieces::{Link, Shown, Tag};
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
    /// A QR code to the guide as inline SVG, where a base address is set.
    pub code_svg_html: Option<String>,
    pub code_says: Option<String>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Face {
    pub title: String,
    pub blocks: Vec<Block>,
}

/// One block of a face; only the lists that are filled are drawn.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Block {
    pub title: String,
    pub steps_html: Vec<String>,
    pub limits: Vec<CardLimit>,
    pub codes: Vec<CardCode>,
    pub tags: Vec<CardTag>,
    pub text_html: Option<String>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct CardLimit {
    pub says: String,
    pub shown: Shown,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct CardCode {
    pub code: String,
    pub says: String,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct CardTag {
    pub work: Link,
    pub tag: Tag,
}
