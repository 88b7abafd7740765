//! Where a piece of text stands.

use std::ops::{Deref, Range};

/// The number of a source file, in the order the files were read.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct FileId(pub u32);

/// A half-open range of bytes in one file. Line and column are worked out only when a span is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, Default)]
pub struct Span {
    /// The file the range lies in.
    pub file: FileId,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Span {
    /// A span over `range`; offsets past 4 GiB are held at the limit.
    pub fn new(file: FileId, range: Range<usize>) -> Self {
        let narrow = |offset: usize| u32::try_from(offset).unwrap_or(u32::MAX);
        Self { file, start: narrow(range.start), end: narrow(range.end) }
    }

    /// True of the span that nothing was read from: that of a default value.
    pub fn is_nowhere(self) -> bool {
        self == Self::default()
    }

    /// The empty span at the first byte of `file`.
    pub fn start_of(file: FileId) -> Self {
        Self { file, start: 0, end: 0 }
    }

    /// The span `range` bytes into this one, held inside it.
    pub fn inner(self, range: Range<usize>) -> Self {
        let at = |offset: usize| {
            let offset = u32::try_from(offset).unwrap_or(u32::MAX);
            self.start.saturating_add(offset).min(self.end)
        };
        Self { file: self.file, start: at(range.start), end: at(range.end) }
    }
}

/// Spans in order, each joined to those that reach into it.
pub fn joined(mut spans: Vec<Span>) -> Vec<Span> {
    spans.sort();
    spans.dedup_by(|next, last| {
        let overlap = next.file == last.file && next.start < last.end;
        if overlap {
            last.end = last.end.max(next.end);
        }
        overlap
    });
    spans
}

/// A value and the place it was read from. Compares, hashes and dereferences as the value alone.
#[derive(Debug, Clone, Copy, Default)]
pub struct Located<T> {
    /// What was read.
    pub value: T,
    /// Where it stands.
    pub span: Span,
}

impl<T> Located<T> {
    /// Joins a value to its place.
    pub fn new(value: T, span: Span) -> Self {
        Self { value, span }
    }

    /// The same place, with the value made into another.
    pub fn map<U>(self, make: impl FnOnce(T) -> U) -> Located<U> {
        Located { value: make(self.value), span: self.span }
    }
}

impl<T> Deref for Located<T> {
    type Target = T;

    fn deref(&self) -> &T {
        &self.value
    }
}

impl<T: PartialEq> PartialEq for Located<T> {
    fn eq(&self, other: &Self) -> bool {
        self.value == other.value
    }
}

impl<T: Eq> Eq for Located<T> {}
