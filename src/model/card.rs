//! The pocket card for the toolbox lid.

use super::{Circuit, Fault, Link, Part, Procedure, Prose, Reading};
use crate::text::{Located, Span};

/// What goes on the card.
#[derive(Debug, Clone)]
pub struct Card {
    pub title: Located<String>,
    pub size: Located<CardSize>,
    pub blocks: Vec<CardBlock>,
    pub span: Span,
}

/// The sizes a card can have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CardSize {
    /// 105 x 148 mm (ISO 216).
    A6,
    /// 3 x 5 in.
    Index,
    /// A4, folded twice, with fold marks.
    FoldedA4,
}

/// One block of the card.
#[derive(Debug, Clone)]
pub struct CardBlock {
    pub topic: Located<CardTopic>,
    pub title: Option<Located<String>>,
    pub readings: Vec<Link<Reading>>,
    pub parts: Vec<Link<Part>>,
    pub circuits: Vec<Link<Circuit>>,
    pub faults: Vec<Link<Fault>>,
    pub procedures: Vec<Link<Procedure>>,
    pub says: Option<Prose>,
    /// 1 for the front, 2 for the back.
    pub side: Located<u32>,
    pub span: Span,
}

/// What a block shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CardTopic {
    Limits,
    Fuses,
    Fluids,
    Torque,
    Hoses,
    Recalibration,
    Depot,
    Cautions,
    /// QR codes that lead to the published guide.
    Code,
    Text,
}
