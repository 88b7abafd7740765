//! Who mentions what.

use std::collections::{BTreeMap, BTreeSet};

use crate::model::{EntryKey, Guide, Kind, Name};

/// The mentions of every entry, turned round.
#[derive(Debug, Default)]
pub struct Mentions {
    by_target: BTreeMap<Name, BTreeSet<(EntryKey, &'static str)>>,
    by_source: BTreeMap<EntryKey, BTreeSet<(Name, &'static str)>>,
}

impl Mentions {
    /// Turns the links of a guide round.
    pub fn of(guide: &Guide) -> Self {
        let mut mentions = Self::default();
        for link in &guide.index.links {
            if let Some(from) = &link.from {
                mentions.by_target.entry(link.to.clone()).or_default().insert((from.clone(), link.role));
                mentions.by_source.entry(from.clone()).or_default().insert((link.to.clone(), link.role));
            }
        }
        mentions
    }

    /// What an entry mentions, each with the key it stands under, in the order of kind and id.
    pub fn from_entry(&self, from: &EntryKey) -> impl Iterator<Item = (&Name, &'static str)> {
        self.by_source.get(from).into_iter().flatten().map(|(to, role)| (to, *role))
    }

    /// The entries that mention a thing, each with the key it stands under, in the order of kind and id.
    pub fn of_thing(&self, kind: Kind, id: &str) -> impl Iterator<Item = (&EntryKey, &'static str)> {
        let found = self.by_target.get(&Name::global(kind, id));
        found.into_iter().flatten().map(|(entry, role)| (entry, *role))
    }
}
