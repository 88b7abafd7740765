//! Tables inside a table: one, a list of them, or what stands in their place.

use toml::de::{DeTable, DeValue};

use super::form::Form;
use super::{Record, Value, extent};
use crate::read::links::shortened;
use crate::report::Finding;
use crate::text::Located;

impl<'t> Record<'t, '_> {
    /// Reads the table under a key, if there is one.
    pub(in crate::read) fn child<T>(
        &mut self,
        key: &'static str,
        read: impl FnOnce(&mut Record<'t, '_>) -> Option<T>,
    ) -> Option<T> {
        let Some(value) = self.take(key) else {
            self.absent(key, false, read);
            return None;
        };
        match value.get_ref() {
            DeValue::Table(table) => self.descend(table, value, read),
            _ => {
                let keys = Form::of(key, false, read);
                self.wrong_type(key, value, &format!("a table: `{key} = {}`{}", keys.example(), keys.others()));
                None
            }
        }
    }

    /// The same, where a slip in the table says nothing about what stands beside it.
    pub(in crate::read) fn child_apart<T>(
        &mut self,
        key: &'static str,
        read: impl FnOnce(&mut Record<'t, '_>) -> Option<T>,
    ) -> Option<T> {
        let broken = self.broken;
        let child = self.child(key, read);
        self.broken = broken;
        child
    }

    /// Reads each table under a key; one table alone counts as a list of one.
    pub(in crate::read) fn children<T>(
        &mut self,
        key: &'static str,
        mut read: impl FnMut(&mut Record<'t, '_>) -> Option<T>,
    ) -> Vec<T> {
        self.lists.insert(key);
        let Some(value) = self.take(key) else {
            self.absent(key, true, read);
            return Vec::new();
        };
        match value.get_ref() {
            DeValue::Table(table) if self.is_headless(table, value) => {
                self.headless(key, value);
                Vec::new()
            }
            DeValue::Table(table) => self.descend(table, value, &mut read).into_iter().collect(),
            DeValue::Array(values) => values.iter().filter_map(|value| self.element(key, value, &mut read)).collect(),
            _ => {
                self.no_list_of_tables(key, value, read);
                Vec::new()
            }
        }
    }

    /// Reads each table under a key, where a lost one says nothing about its neighbours.
    pub(in crate::read) fn entries<T>(
        &mut self,
        key: &'static str,
        read: impl FnMut(&mut Record<'t, '_>) -> Option<T>,
    ) -> Vec<T> {
        let broken = self.broken;
        let entries = self.children(key, read);
        self.broken = broken;
        entries
    }

    /// Reads the one entry of a file, whose main table stands under `key`.
    pub(in crate::read) fn single<T>(
        &mut self,
        key: &'static str,
        read: impl FnOnce(&mut Record<'t, '_>) -> Option<T>,
    ) -> Option<T> {
        self.main_table(key, &format!("the table `[{key}]`, which the rest of the file belongs to"));
        let entry = read(self);
        self.broken |= entry.is_none();
        entry
    }

    /// Says that the main table of a file is missing; once, where the keys of it stand there without its header.
    pub(in crate::read) fn main_table(&mut self, key: &'static str, wanted: &str) {
        if self.has(key) {
            return;
        }
        let loose = self.loose_keys();
        let Some(first) = loose.first().filter(|_| !self.is_hurt() && !self.is_misspelt(key)) else {
            return self.missing(key, wanted);
        };
        let wrong = format!("The header `[{key}]` is missing: {} stand under none.", all_of(&loose));
        let remedy = format!("Write a line `[{key}]` above `{}`.", first.value);
        let span = first.span;
        self.complain(Finding::new("missing-field", span, wrong, remedy));
        self.headless_keys = true;
    }

    /// The plain keys at the top of a file that nobody asked for, in the order they stand there.
    pub(super) fn loose_keys(&self) -> Vec<Located<&'t str>> {
        // A table in braces stands beside its key, one under a header does not.
        let braced = |value: &Value<'_>| self.text.get(value.span()).is_some_and(|text| text.starts_with('{'));
        let beside = |value: &Value<'_>| !matches!(value.get_ref(), DeValue::Table(_)) || braced(value);
        let plain = |value: &Value<'_>| match value.get_ref() {
            DeValue::Array(values) => values.iter().all(beside),
            _ => beside(value),
        };
        let loose =
            self.table.iter().filter(|(key, value)| !self.asked.contains(key.get_ref().as_ref()) && plain(value));
        let mut loose: Vec<_> =
            loose.map(|(key, _)| Located::new(key.get_ref().as_ref(), self.key_span(key.span()))).collect();
        loose.sort_by_key(|key| key.span);
        loose
    }

    /// Reads a table inside this one. A table that yields nothing takes this record down with it.
    pub(in crate::read) fn descend<T>(
        &mut self,
        table: &'t DeTable<'t>,
        value: &Value<'_>,
        read: impl FnOnce(&mut Record<'t, '_>) -> Option<T>,
    ) -> Option<T> {
        let header = self.span_of(value);
        let span = extent(table, header);
        let mut child = Record::new(table, self.text, span, header, self.owner.clone(), self.ledger);
        let result = read(&mut child);
        let broken = child.finish(result.is_none());
        self.broken |= broken;
        result
    }

    fn element<T>(
        &mut self,
        key: &'static str,
        value: &'t Value<'t>,
        read: impl FnOnce(&mut Record<'t, '_>) -> Option<T>,
    ) -> Option<T> {
        if let DeValue::Table(table) = value.get_ref() {
            return self.descend(table, value, read);
        }
        if !value.span().is_empty() {
            self.no_list_of_tables(key, value, read);
        }
        None
    }

    fn no_list_of_tables<T>(
        &mut self,
        key: &'static str,
        value: &Value<'_>,
        read: impl FnOnce(&mut Record<'t, '_>) -> Option<T>,
    ) {
        let keys = Form::of(key, true, read);
        let wanted = format!("a list of tables: `{key} = [{}]`{}", keys.example(), keys.others());
        self.wrong_type(key, value, &wanted);
    }

    /// True for a table that only the headers below it speak of, as `[[check.answer]]` does of `check`.
    fn is_headless(&self, table: &DeTable<'_>, value: &Value<'_>) -> bool {
        let written = self.text.get(value.span()).is_some_and(|text| text.starts_with(['[', '{']));
        let nested = |value: &Value<'_>| matches!(value.get_ref(), DeValue::Table(_) | DeValue::Array(_));
        !written && table.iter().all(|(_, value)| nested(value))
    }

    fn headless(&mut self, key: &'static str, value: &Value<'_>) {
        self.note_unread(value);
        self.broken = true;
        if !self.has_like(key) && !self.is_hurt() {
            let wrong = format!("This header belongs to a `{key}`, but none stands above it.");
            let remedy = format!("Add the header `[[{key}]]` above it, with the keys it needs.");
            self.complain(Finding::new("missing-field", self.span_of(value), wrong, remedy));
        }
    }
}

/// The first of some keys, and how many more there are.
pub(super) fn all_of(keys: &[Located<&str>]) -> String {
    const SHOWN: usize = 3;
    let shown: Vec<String> = keys.iter().take(SHOWN).map(|key| format!("`{}`", shortened(key.value))).collect();
    match (shown.as_slice(), keys.len().saturating_sub(SHOWN)) {
        ([one], _) => one.clone(),
        ([most @ .., last], 0) => format!("{} and {last}", most.join(", ")),
        (_, 1) => format!("{} and 1 more key", shown.join(", ")),
        (_, more) => format!("{} and {more} more keys", shown.join(", ")),
    }
}
