//! All entries of one kind, in the order of their ids.

use std::collections::BTreeMap;

use super::Id;

/// Entries of one kind by id. The first of two entries with one id stays; `duplicate-id` reports the other.
#[derive(Debug, Clone)]
pub struct Shelf<T> {
    entries: BTreeMap<Id<T>, T>,
}

impl<T> Default for Shelf<T> {
    fn default() -> Self {
        Self { entries: BTreeMap::new() }
    }
}

impl<T> Shelf<T> {
    /// Puts an entry in, unless its id is taken.
    pub fn insert(&mut self, id: Id<T>, entry: T) {
        self.entries.entry(id).or_insert(entry);
    }

    /// Takes over the entries of another shelf, unless their ids are taken.
    pub fn absorb(&mut self, other: Self) {
        for (id, entry) in other.entries {
            self.insert(id, entry);
        }
    }

    /// The entry with this id.
    pub fn get(&self, id: &Id<T>) -> Option<&T> {
        self.entries.get(id)
    }

    /// The entry with this id, to be filled in.
    pub fn get_mut(&mut self, id: &Id<T>) -> Option<&mut T> {
        self.entries.get_mut(id)
    }

    /// The entry with this id, given as text.
    pub fn find(&self, id: &str) -> Option<&T> {
        self.entries.get(id)
    }

    /// The entries, in the order of their ids.
    pub fn iter(&self) -> impl DoubleEndedIterator<Item = &T> + ExactSizeIterator {
        self.entries.values()
    }

    /// How many there are.
    pub fn len(&self) -> usize {
        self.entries.len()
    }

    /// True where there are none.
    pub fn is_empty(&self) -> bool {
        self.entries.is_empty()
    }
}

impl<'a, T> IntoIterator for &'a Shelf<T> {
    type Item = &'a T;
    type IntoIter = std::collections::btree_map::Values<'a, Id<T>, T>;

    fn into_iter(self) -> Self::IntoIter {
        self.entries.values()
    }
}
