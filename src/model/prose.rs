//! Prose as the writer wrote it.

use crate::text::Span;

/// CommonMark text. Raw HTML, unknown links and pictures without description have been reported by the reader.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Prose {
    /// The text as written.
    pub markdown: String,
    /// Where it stands.
    pub span: Span,
}

impl Prose {
    /// True where nothing is written.
    pub fn is_empty(&self) -> bool {
        self.markdown.trim().is_empty()
    }
}
