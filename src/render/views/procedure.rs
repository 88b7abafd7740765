//! A procedure page: tag and cautions stand before step 1.

use super::pieces::{Caution, Link, Picture, Source, Supply, Tag};
use serde::Serialize;

#[derive(Clone, Debug, Default, Serialize)]
pub struct Procedure {
    pub summary_html: Option<String>,
    /// One tag, or one for each group of variants.
    pub tags: Vec<Tag>,
    /// The tag as a whole, for the release.
    pub tag: Option<Tag>,
    pub cautions: Vec<Caution>,
    /// The state the machine must be in before step 1.
    pub state: Option<String>,
    pub make_safe: Vec<Link>,
    /// The hazard it removes, where it is a make-safe.
    pub makes_safe: Option<String>,
    pub minutes: u32,
    pub tools: Vec<String>,
    /// Parts that are opened or disturbed.
    pub works_on: Vec<Supply>,
    /// New parts, seals and consumables.
    pub take: Vec<Supply>,
    pub steps: Vec<Step>,
    pub check_after: Vec<Link>,
    pub check_after_says: Vec<String>,
    pub test_html: Option<String>,
    pub release_html: Option<String>,
    /// The faults that it puts right.
    pub mends: Vec<Mended>,
    pub used_by: Vec<Link>,
    pub bulletins: Vec<Link>,
    pub sources: Vec<Source>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Step {
    pub number: u32,
    pub action_html: String,
    /// Shown before the action.
    pub cautions: Vec<Caution>,
    pub runs: Option<Link>,
    /// How long to wait: seconds for a timer.
    pub wait_seconds: Option<u32>,
    pub picture: Option<Picture>,
}

/// A fault by its walk, and those of its causes that the procedure puts right.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Mended {
    pub walk: Link,
    pub causes: Vec<Link>,
}
