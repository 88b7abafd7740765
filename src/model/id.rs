//! Typed ids: the id of a part cannot be looked up among procedures.

use std::borrow::Borrow;
use std::cmp::Ordering;
use std::fmt;
use std::marker::PhantomData;
use std::sync::Arc;

use crate::text::Located;

/// The kebab-case id of a `T`.
pub struct Id<T> {
    text: Arc<str>,
    of: PhantomData<fn() -> T>,
}

/// A mention of a `T` by its id, with the place of the mention. It may name nothing: then `unknown-id` says so.
pub type Link<T> = Located<Id<T>>;

impl<T> Id<T> {
    /// An id from its text; the reader has checked the spelling.
    pub fn new(text: impl Into<Arc<str>>) -> Self {
        Self { text: text.into(), of: PhantomData }
    }

    /// The id as written.
    pub fn as_str(&self) -> &str {
        &self.text
    }
}

impl<T> Clone for Id<T> {
    fn clone(&self) -> Self {
        Self::new(Arc::clone(&self.text))
    }
}

impl<T> PartialEq for Id<T> {
    fn eq(&self, other: &Self) -> bool {
        self.text == other.text
    }
}

impl<T> Eq for Id<T> {}

impl<T> PartialOrd for Id<T> {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

impl<T> Ord for Id<T> {
    fn cmp(&self, other: &Self) -> Ordering {
        self.text.cmp(&other.text)
    }
}

impl<T> Borrow<str> for Id<T> {
    fn borrow(&self) -> &str {
        &self.text
    }
}

impl<T> fmt::Debug for Id<T> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(out, "{:?}", self.text)
    }
}

impl<T> fmt::Display for Id<T> {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.text)
    }
}
