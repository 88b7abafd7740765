//! A reading: how to take it and what a value means.

use super::pieces::{Caution, Link, Picture, Shown, Source};
use serde::Serialize;

#[derive(Clone, Debug, Default, Serialize)]
pub struct Reading {
    pub how_html: String,
    pub about_html: Option<String>,
    pub picture: Option<Picture>,
    pub state: Option<String>,
    pub make_safe: Vec<Link>,
    pub access: Vec<String>,
    pub tools: Vec<String>,
    pub cautions: Vec<Caution>,
    /// One scale, or one for each variant with limits of its own.
    pub scales: Vec<Scale>,
    pub bands: Vec<Band>,
    pub sums: Vec<Sum>,
    /// Id of the reading, and what its calculator needs as JSON that is safe inside a script element.
    pub calculator: Calculator,
    pub used_by: Vec<Link>,
    pub sources: Vec<Source>,
}

/// Limits along a scale that is 320 units wide.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Scale {
    /// Id of its title, unique on the page.
    pub id: String,
    /// The variant it is for, where variants differ.
    pub variant: Option<String>,
    pub stretches: Vec<Stretch>,
    pub ticks: Vec<Tick>,
}

/// A band along a scale.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Stretch {
    pub meaning: Meaning,
    /// Start and width on the scale.
    pub at: u32,
    pub wide: u32,
    pub range: String,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Tick {
    pub at: u32,
    pub shown: Shown,
    /// `start`, `middle` or `end`, so that the outer labels stay inside.
    pub align: String,
}

#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Meaning {
    #[default]
    Fine,
    Tolerable,
    Act,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Band {
    pub meaning: Meaning,
    /// The range in words, such as "40 mm to 60 mm".
    pub range: Shown,
    pub says_html: String,
    pub then: Vec<Link>,
}

/// A calculator that the script puts into the page.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Calculator {
    pub id: String,
    pub block_json: String,
}

/// A rule over several readings.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Sum {
    /// What is added up.
    pub of: String,
    /// The reading whose bands judge the total.
    pub total: Link,
}
