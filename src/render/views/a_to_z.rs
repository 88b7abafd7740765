//! The A to Z list: every page and every other word for it, the way in without a script.

use serde::Serialize;

#[derive(Clone, Debug, Default, Serialize)]
pub struct AToZ {
    pub nav: Vec<NavLetter>,
    /// Where each letter has pages of its own: which names stand on which.
    pub ranges: Vec<Range>,
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

#[derive(Clone, Debug, Default, Serialize)]
pub struct NavLetter {
    pub letter: String,
    pub href: String,
    /// The page that is open is of this letter.
    pub here: bool,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Range {
    pub letter: String,
    pub href: String,
    /// The first and the last name of the page.
    pub first: String,
    pub last: String,
}
