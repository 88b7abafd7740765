//! The recalibration register: which work needs it, who may do it, what the depot wants.

use super::pieces::{Link, Tag};
use serde::Serialize;

#[derive(Clone, Debug, Default, Serialize)]
pub struct Register {
    pub intro_html: String,
    pub rows: Vec<Row>,
    pub depots: Vec<Depot>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Row {
    pub anchor: String,
    pub procedure: Link,
    pub tag: Tag,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Depot {
    pub anchor: String,
    pub name: String,
    pub contact_html: String,
    pub send: Vec<String>,
    pub lead_time: String,
    pub may_move_html: String,
    pub test_on_return_html: String,
}
