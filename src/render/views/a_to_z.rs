//! The A to Z list: every page and every other word for it, the way in without a script.

use serde::Serialize;

#[derive(Clone, Debug, Default, Serialize)]
pub struct AToZ {
    pub letters: Vec<Letter>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Letter {
    pub letter: String,
    pub anchor: String,
    pub entries: Vec<Entry>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Entry {
    pub text: String,
    pub href: String,
    pub kind: String,
    /// The page's own title, where `text` is another word for it.
    pub see: Option<String>,
}
