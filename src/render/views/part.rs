//! A part page.

use super::pieces::{Caution, Link, Picture, Repair, Shown, Source, Tag, Torque};
use serde::Serialize;

#[derive(Clone, Debug, Default, Serialize)]
pub struct Part {
    pub kind: String,
    pub location_html: String,
    pub about_html: Option<String>,
    /// What is stamped or printed on it.
    pub mark: Option<String>,
    pub number: Option<String>,
    pub supersedes: Vec<String>,
    pub picture: Option<Picture>,
    pub look_alikes: Vec<LookAlike>,
    pub cautions: Vec<Caution>,
    /// Present where disturbing the part needs a recalibration.
    pub tag: Option<Tag>,
    pub seals: Vec<String>,
    pub fluid: Option<Fluid>,
    pub torques: Vec<Torque>,
    pub faults: Vec<Link>,
    pub procedures: Vec<Repair>,
    pub seen_in: Vec<Link>,
    pub bulletins: Vec<Link>,
    pub sources: Vec<Source>,
}

/// A part that looks the same and must not take its place.
#[derive(Clone, Debug, Default, Serialize)]
pub struct LookAlike {
    pub link: Link,
    pub told_apart: String,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Fluid {
    pub name: String,
    pub capacity: Option<Shown>,
    pub never_mix: Vec<String>,
    pub source: Option<Source>,
}
