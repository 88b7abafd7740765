//! The form of a table, found by letting its reader read an empty one: so it can never differ from what is read.

use std::sync::LazyLock;

use toml::de::DeTable;

use super::Record;
use crate::read::ledger::Ledger;

/// A table without keys.
static NOTHING: LazyLock<DeTable<'static>> = LazyLock::new(DeTable::new);

/// The keys of a table.
#[derive(Debug, Clone, Default)]
pub(in crate::read) struct Form {
    pub(in crate::read) name: &'static str,
    /// True where it may come again and again.
    pub(in crate::read) list: bool,
    /// Keys that must be there, each with what belongs there.
    pub(in crate::read) needed: Vec<(&'static str, String)>,
    /// Keys that may be left out.
    pub(in crate::read) free: Vec<&'static str>,
    /// Tables inside it.
    pub(in crate::read) inside: Vec<Form>,
}

impl Form {
    /// What a reader asks for.
    pub(in crate::read) fn of<'t, T>(
        name: &'static str,
        list: bool,
        read: impl FnOnce(&mut Record<'t, '_>) -> T,
    ) -> Self {
        let mut ledger = Ledger::default();
        let mut record = Record::top(&NOTHING, "", &mut ledger);
        record.shown = Some(Vec::new());
        read(&mut record);
        let inside = record.shown.take().unwrap_or_default();
        let needed = std::mem::take(&mut record.lacking);
        let is_needed = |key: &str| needed.iter().any(|(known, _)| *known == key);
        let is_inside = |key: &str| inside.iter().any(|form| form.name == key);
        let free = record.asked.iter().copied().filter(|key| !is_needed(key) && !is_inside(key)).collect();
        Self { name, list, needed, free, inside }
    }

    /// A table of this form on one line, with what it needs; with all it can hold, where it needs nothing.
    pub(super) fn example(&self) -> String {
        let needed: Vec<&str> = self.needed.iter().map(|(key, _)| *key).collect();
        let keys = if needed.is_empty() { &self.free } else { &needed };
        let pairs: Vec<String> = keys.iter().map(|key| format!("{key} = …")).collect();
        format!("{{ {} }}", pairs.join(", "))
    }

    /// What else it can hold, as the end of a sentence.
    pub(super) fn others(&self) -> String {
        let inside = self.inside.iter().map(|form| form.name);
        let others: Vec<String> = self.free.iter().copied().chain(inside).map(|key| format!("`{key}`")).collect();
        if self.needed.is_empty() || others.is_empty() {
            return String::new();
        }
        format!(", and where it applies {}", others.join(", "))
    }

    /// Its needed keys as the end of a sentence.
    fn wants(&self) -> String {
        let keys: Vec<String> = self.needed.iter().map(|(key, _)| format!("`{key}`")).collect();
        match keys.as_slice() {
            [] => String::new(),
            [one] => format!(", with {one}"),
            [most @ .., last] => format!(", with {} and {last}", most.join(", ")),
        }
    }
}

impl<'t> Record<'t, '_> {
    /// A table that is not there: shows its form where that is wanted, and names its keys where the table is missed.
    pub(super) fn absent<T>(&mut self, key: &'static str, list: bool, read: impl FnOnce(&mut Record<'t, '_>) -> T) {
        let missed = self.lacking.iter().position(|(known, _)| *known == key);
        if missed.is_none() && self.shown.is_none() {
            return;
        }
        let form = Form::of(key, list, read);
        if let Some((_, wanted)) = missed.and_then(|place| self.lacking.get_mut(place)) {
            wanted.push_str(&form.wants());
        }
        if let Some(shown) = &mut self.shown {
            shown.push(form);
        }
    }
}
