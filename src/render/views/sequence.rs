//! A sequence: the steps of one powered operation and what to suspect where it stops.

use super::pieces::{Caution, Figure, Link, Source};
use serde::Serialize;

#[derive(Clone, Debug, Default, Serialize)]
pub struct Sequence {
    pub intro_html: String,
    pub cautions: Vec<Caution>,
    pub figure: Option<Figure>,
    pub start: Vec<String>,
    /// The sequence that undoes this one.
    pub undone_by: Option<Link>,
    pub signals: Vec<SignalValues>,
    pub steps: Vec<Step>,
    pub sources: Vec<Source>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct SignalValues {
    pub name: String,
    pub part: Option<Link>,
    pub values: Vec<String>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Step {
    pub anchor: String,
    pub number: u32,
    pub name: String,
    pub needs: Vec<String>,
    pub drives: Vec<String>,
    pub ends_on: Vec<String>,
    pub at_most: Option<String>,
    pub stall: Stall,
}

/// The machine stops in this step: what is seen, what to suspect, which faults cover it.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Stall {
    pub seen: String,
    pub suspects: Vec<Suspect>,
    pub faults: Vec<Link>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Suspect {
    pub part: Link,
    pub why: String,
}
