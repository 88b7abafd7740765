//! What a reader cannot find by searching. The index is made of pages, so the pipeline asks `render` for it.

use crate::model::EntryKey;

/// Pages and words that searching does not bring together.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Findable {
    /// Pages that their own title does not bring up among the best, each with the page that comes first, if any does.
    pub lost: Vec<(EntryKey, Option<EntryKey>)>,
    /// Terms with a word of theirs that no page but the list of terms has.
    pub idle: Vec<(EntryKey, String)>,
}
