//! Text as it was read: file ids, spans, line tables, and the nearest known name.

mod nearest;
mod source;
mod span;

pub use nearest::{nearest, nearest_id};
pub use source::{Position, Source, Sources};
pub use span::{FileId, Located, Span, joined};
