//! Who mentions what.

use std::collections::{BTreeMap, BTreeSet};

use crate::model::{EntryKey, Guide, Kind, Name};

/// The mentions of every entry, turned round.
#[derive(Debug, Default)]
pub struct Mentions {
    by_target: BTreeMap<Name, BTreeSet<(EntryKey, &'static str)>>,
}

impl Mentions {
    /// Turns the links of a guide round.
    pub fn of(guide: &Guide) -> Self {
        let mut by_target: BTreeMap<Name, BTreeSet<_>> = BTreeMap::new();
        for link in &guide.index.links {
            if let Some(from) = &link.from {
                by_target.entry(link.to.clone()).or_default().insert((from.clone(), link.role));
            }
        }
        Self { by_target }
    }

    /// The entries that mention a thing, each with the key it stands under, in the order of kind and id.
    pub fn of_thing(&self, kind: Kind, id: &str) -> impl Iterator<Item = (&EntryKey, &'static str)> {
        let found = self.by_target.get(&Name::global(kind, id));
        found.into_iter().flatten().map(|(entry, role)| (entry, *role))
    }
}
