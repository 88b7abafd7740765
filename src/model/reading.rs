//! Measurable quantities and what their values mean.

use super::quantity::Quantity;
use super::{Circuit, Cited, Entry, Fault, Head, Kind, Link, Picture, Procedure, Prose, State, Variant};
use crate::text::{Located, Span};

/// Something that can be measured.
#[derive(Debug, Clone)]
pub struct Reading {
    pub head: Head,
    pub name: Located<String>,
    /// A value as an example of the unit to measure in; its kind is the kind of every limit.
    pub unit: Located<Quantity>,
    /// How to take it.
    pub how: Prose,
    /// The state of the machine it holds for.
    pub state: Option<Link<State>>,
    pub tools: Vec<Located<String>>,
    pub picture: Option<Picture>,
    pub bands: Vec<Band>,
    /// A rule for several values added up.
    pub sum: Option<SumRule>,
    pub says: Option<Prose>,
}

/// What a range of values means. It holds `from` but not `to`, so that bands meet without overlap.
#[derive(Debug, Clone)]
pub struct Band {
    pub id: Located<String>,
    pub says: Located<String>,
    /// Lowest value of the band; `None` means no lower end.
    pub from: Option<Located<Quantity>>,
    /// First value above the band; `None` means no upper end.
    pub to: Option<Located<Quantity>>,
    pub verdict: Located<Verdict>,
    pub procedure: Option<Link<Procedure>>,
    pub fault: Option<Link<Fault>>,
    pub source: Option<Cited>,
    pub variants: Option<Vec<Link<Variant>>>,
    pub span: Span,
}

/// What to make of a value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Verdict {
    Fine,
    Tolerable,
    Act,
}

/// Several values of the reading, one for each hose of a circuit or each named place, added up.
#[derive(Debug, Clone)]
pub struct SumRule {
    /// The circuit whose hoses are measured one by one.
    pub circuit: Option<Link<Circuit>>,
    /// The places measured, where they are not hoses.
    pub places: Vec<Located<String>>,
    /// What the total means: the reading whose bands judge it.
    pub total: Link<Reading>,
    pub span: Span,
}

impl Entry for Reading {
    const KIND: Kind = Kind::Reading;

    fn head(&self) -> &Head {
        &self.head
    }

    fn title(&self) -> &str {
        &self.name
    }
}
