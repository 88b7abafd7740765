//! A bulletin, and the register of all of them.

use super::pieces::{Link, Source};
use serde::Serialize;

#[derive(Clone, Debug, Default, Serialize)]
pub struct Bulletin {
    pub number: String,
    pub date: String,
    pub what_html: String,
    pub supersedes: Vec<Link>,
    pub superseded_by: Option<Link>,
    pub touches: Vec<Touch>,
    pub sources: Vec<Source>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Touch {
    pub entry: Link,
    pub kind: String,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Bulletins {
    pub rows: Vec<Row>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Row {
    pub link: Link,
    pub number: String,
    pub date: String,
    pub touches: Vec<Link>,
    pub superseded_by: Option<Link>,
}
