//! Tables inside a table: one, a list of them, or what stands in their place.

use toml::de::{DeTable, DeValue};

use super::{Record, Value, extent};
use crate::report::Finding;

impl<'t> Record<'t, '_> {
    /// Reads the table under a key, if there is one.
    pub(in crate::read) fn child<T>(
        &mut self,
        key: &'static str,
        read: impl FnOnce(&mut Record<'t, '_>) -> Option<T>,
    ) -> Option<T> {
        let value = self.take(key)?;
        match value.get_ref() {
            DeValue::Table(table) => self.descend(table, value, read),
            _ => {
                self.wrong_type(key, value, "a table");
                None
            }
        }
    }

    /// Reads each table under a key; one table alone counts as a list of one.
    pub(in crate::read) fn children<T>(
        &mut self,
        key: &'static str,
        mut read: impl FnMut(&mut Record<'t, '_>) -> Option<T>,
    ) -> Vec<T> {
        let Some(value) = self.take(key) else { return Vec::new() };
        match value.get_ref() {
            DeValue::Table(table) if self.is_headless(table, value) => {
                self.headless(key, value);
                Vec::new()
            }
            DeValue::Table(table) => self.descend(table, value, &mut read).into_iter().collect(),
            DeValue::Array(values) => values.iter().filter_map(|value| self.element(key, value, &mut read)).collect(),
            _ => {
                self.wrong_type(key, value, "a list of tables");
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
        if !self.has(key) {
            self.missing(key, &format!("the table `[{key}]`, which the rest of the file belongs to"));
        }
        let entry = read(self);
        self.broken |= entry.is_none();
        entry
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
            self.wrong_type(key, value, "a list of tables");
        }
        None
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
