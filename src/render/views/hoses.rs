//! A hose table: what goes where, what a crossing does, how pump directions move the machine.

use super::pieces::{Caution, Figure, Link, Shown, Source};
use serde::Serialize;

#[derive(Clone, Debug, Default, Serialize)]
pub struct HoseTable {
    pub intro_html: String,
    pub cautions: Vec<Caution>,
    pub drawing: Option<Figure>,
    pub circuits: Vec<Circuit>,
    pub motions: Vec<Motion>,
    pub crossings: Vec<Crossing>,
    pub limits: Vec<AirLimit>,
    pub procedures: Vec<Link>,
    pub sources: Vec<Source>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Circuit {
    pub name: String,
    pub pumps: Vec<Link>,
    pub hoses: Vec<Hose>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Hose {
    pub anchor: String,
    /// The mark on the hose, such as "C1".
    pub mark: String,
    pub colour: Colour,
    pub bore: Shown,
    pub length: Shown,
    pub fitting: String,
    pub from: End,
    pub to: End,
    /// The other line of the same actuator.
    pub pair: Option<Link>,
    pub applies_to: Vec<String>,
}

/// The hose's own colour, drawn with a dash pattern so that it is told apart without colour.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Colour {
    pub name: String,
    /// SVG paint, such as `#8a1c1c`.
    pub fill: String,
    /// SVG paint of the dashes, chosen to stand out from `fill`.
    pub dash_fill: String,
    /// SVG dash array in units of 1/96 of the swatch; empty for a plain line.
    pub dash: String,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct End {
    pub part: Link,
    pub port: String,
}

/// What one actuator does in one pump direction.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Motion {
    pub direction: String,
    pub actuator: Link,
    pub does: String,
}

/// Two hose ends that fit each other's port, grouped by what the technician sees.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Crossing {
    pub ends: Vec<String>,
    pub seen: String,
    pub effect_html: String,
    pub faults: Vec<Link>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct AirLimit {
    pub place: String,
    pub shown: Shown,
    pub says: String,
    pub source: Option<Source>,
}
