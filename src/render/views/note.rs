//! A note: background, how it works.

use super::pieces::{Link, Source};
use serde::Serialize;

#[derive(Clone, Debug, Default, Serialize)]
pub struct Note {
    /// The body from the first `h2` level down; the title is the page's.
    pub body_html: String,
    pub related: Vec<Link>,
    pub sources: Vec<Source>,
}
