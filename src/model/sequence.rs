//! Powered operations, step by step.

use super::quantity::Quantity;
use super::{Entry, Fault, Head, Kind, Link, Part, Prose, Varied};
use crate::text::{Located, Span};

/// A signal and the values it can have.
#[derive(Debug, Clone)]
pub struct SignalLine {
    pub head: Head,
    pub name: Located<String>,
    /// The part that gives the signal.
    pub part: Option<Link<Part>>,
    pub values: Vec<Located<String>>,
}

/// One powered operation.
#[derive(Debug, Clone)]
pub struct Sequence {
    pub head: Head,
    pub name: Located<String>,
    pub says: Option<Prose>,
    /// Signals at the start.
    pub start: Vec<Condition>,
    /// The sequence that undoes this one.
    pub undone_by: Option<Link<Sequence>>,
    pub steps: Vec<SequenceStep>,
}

/// A signal at a value.
#[derive(Debug, Clone)]
pub struct Condition {
    pub signal: Link<SignalLine>,
    pub value: Located<String>,
}

/// One step of a sequence.
#[derive(Debug, Clone)]
pub struct SequenceStep {
    pub id: Located<String>,
    /// What a person sees.
    pub says: Located<String>,
    /// Signals that must stand before it starts.
    pub needs: Vec<Condition>,
    /// Parts that the control unit switches on for it.
    pub drives: Vec<Link<Part>>,
    /// Signals that it changes on its way.
    pub sets: Vec<Condition>,
    /// Signals that end it.
    pub ends_on: Vec<Condition>,
    /// Time after which the control unit gives up.
    pub at_most: Varied<Quantity>,
    /// Faults that cover a stop at this step.
    pub faults: Vec<Link<Fault>>,
    pub span: Span,
}

impl Entry for Sequence {
    const KIND: Kind = Kind::Sequence;

    fn head(&self) -> &Head {
        &self.head
    }

    fn title(&self) -> &str {
        &self.name
    }
}

impl Entry for SignalLine {
    const KIND: Kind = Kind::Signal;

    fn head(&self) -> &Head {
        &self.head
    }

    fn title(&self) -> &str {
        &self.name
    }
}
