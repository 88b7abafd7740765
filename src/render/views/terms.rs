//! The term list.

use serde::Serialize;

#[derive(Clone, Debug, Default, Serialize)]
pub struct Terms {
    pub rows: Vec<Term>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Term {
    pub anchor: String,
    pub word: String,
    pub means_html: String,
    /// What people in the bay say for it; found by the search.
    pub also: Vec<String>,
    /// Words a writer should not use for it.
    pub avoid: Vec<String>,
}
