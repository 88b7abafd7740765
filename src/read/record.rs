//! One TOML table, read key by key. What is asked for is known; what was never asked for is reported at the end.

use std::collections::BTreeSet;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::ledger::Ledger;
use super::links::shortened;
use crate::model::{EntryKey, Kind, Name};
use crate::report::Finding;
use crate::text::{FileId, Located, Span, nearest};

/// A TOML value with its place in the file.
pub(super) type Value<'t> = Spanned<DeValue<'t>>;

/// Unknown keys of one record for which the nearest known key is worth looking for.
const MOST_REMEDIES: usize = 50;

const TAKE_OUT: &str = "Take it out, or move it to the record it belongs to.";

/// A table being read.
pub(super) struct Record<'t, 'l> {
    pub(super) table: &'t DeTable<'t>,
    /// The text of the whole file, to tell whether a string stands there as it reads.
    pub(super) text: &'t str,
    /// From its header to the last of its values.
    pub(super) span: Span,
    /// Its header, or for a file's top level the first byte.
    pub(super) header: Span,
    /// The entry it belongs to.
    pub(super) owner: Option<EntryKey>,
    pub(super) ledger: &'l mut Ledger,
    asked: BTreeSet<&'static str>,
    /// Keys that must be there and are not, each with what belongs there.
    lacking: Vec<(&'static str, String)>,
    broken: bool,
    declared: Option<usize>,
    whole_entry: bool,
}

impl<'t, 'l> Record<'t, 'l> {
    /// The top level of a file.
    pub(super) fn top(table: &'t DeTable<'t>, text: &'t str, ledger: &'l mut Ledger) -> Self {
        let file = ledger.file;
        let span = Span::new(file, 0..text.len());
        Self::new(table, text, span, Span::start_of(file), None, ledger)
    }

    fn new(
        table: &'t DeTable<'t>,
        text: &'t str,
        span: Span,
        header: Span,
        owner: Option<EntryKey>,
        ledger: &'l mut Ledger,
    ) -> Self {
        Self {
            table,
            text,
            span,
            header,
            owner,
            ledger,
            asked: BTreeSet::new(),
            lacking: Vec::new(),
            broken: false,
            declared: None,
            whole_entry: false,
        }
    }

    /// The value under a key, noting that the key is known. A value lost to a syntax error is passed over.
    pub(super) fn take(&mut self, key: &'static str) -> Option<&'t Value<'t>> {
        self.asked.insert(key);
        let (_, value) = self.table.iter().find(|(known, _)| known.get_ref().as_ref() == key)?;
        if value.span().is_empty() { None } else { Some(value) }
    }

    /// True where the key stands in the table, even if its value was lost to a syntax error.
    pub(super) fn has(&mut self, key: &'static str) -> bool {
        self.asked.insert(key);
        self.table.iter().any(|(known, _)| known.get_ref().as_ref() == key)
    }

    /// The place of a value of this file.
    pub(super) fn span_of(&self, value: &Value<'_>) -> Span {
        Span::new(self.ledger.file, value.span())
    }

    /// Declares the id of this record.
    pub(super) fn declare(&mut self, name: Name, id: Span) {
        self.declared = Some(self.ledger.declare(name, id, self.span));
    }

    /// True where a statement of this record was lost to a syntax error: what is missing may have stood there.
    pub(super) fn is_hurt(&self) -> bool {
        let top = self.header.end == 0;
        !self.ledger.damage.is_empty() && (top || self.ledger.is_hurt_after(self.header.start as usize))
    }

    /// True where a key is not there, but one that is hardly different.
    pub(super) fn is_misspelt(&self, key: &'static str) -> bool {
        !self.table.iter().any(|(it, _)| it.get_ref().as_ref() == key) && self.has_like(key)
    }

    /// True where a key hardly different from this one is there.
    fn has_like(&self, key: &str) -> bool {
        let names = self.table.iter().map(|(it, _)| it.get_ref().as_ref());
        names.filter(|name| *name != key).any(|name| nearest(name, [key]).is_some())
    }

    /// Runs `read` and tells whether it complained.
    pub(super) fn watched<T>(&mut self, read: impl FnOnce(&mut Self) -> T) -> (T, bool) {
        let before = std::mem::take(&mut self.broken);
        let result = read(self);
        let complained = self.broken;
        self.broken |= before;
        (result, complained)
    }

    /// Complains about this record: later rules about it keep silent.
    pub(super) fn complain(&mut self, finding: Finding) {
        self.broken = true;
        self.ledger.complain(finding);
    }

    /// Complains at the end that a key is missing: unless its value could not be read, or a key nobody knows turns out
    /// to be this one misspelt.
    pub(super) fn missing(&mut self, key: &'static str, wanted: &str) {
        self.broken = true;
        if !self.has(key) && !self.is_hurt() {
            self.lacking.push((key, wanted.to_owned()));
        }
    }

    /// Complains about a key that makes no sense without another one, which stands in the record named `place`.
    pub(super) fn missing_beside(&mut self, key: &'static str, span: Span, needed: &'static str, place: &str) {
        self.broken = true;
        if !self.is_hurt() {
            let wrong = format!("`{key}` says nothing without `{needed}`.");
            let remedy = format!("Add `{needed} = …` to {place}.");
            self.complain(Finding::new("missing-field", span, wrong, remedy));
        }
    }

    /// Complains about a list in which something must stand.
    pub(super) fn empty_list(&mut self, key: &'static str, wanted: &str) {
        if let Some(value) = self.take(key).filter(|value| is_empty_list(value.get_ref())) {
            let (span, wrong) = (self.span_of(value), format!("`{key}` is an empty list."));
            self.complain(Finding::new("empty-text", span, wrong, format!("Write {wanted}.")));
        }
    }

    /// Complains that a value is of another type than wanted.
    pub(super) fn wrong_type(&mut self, key: &str, value: &Value<'_>, wanted: &str) {
        let span = self.span_of(value);
        let found = type_word(value.get_ref());
        self.note_unread(value);
        self.complain(Finding::new(
            "wrong-type",
            span,
            format!("`{key}` is {found} here."),
            format!("Write `{key}` as {wanted}."),
        ));
    }

    /// Reads the table under a key, if there is one.
    pub(super) fn child<T>(
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
    pub(super) fn children<T>(
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
    pub(super) fn entries<T>(
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
    pub(super) fn single<T>(
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

    /// Makes the whole file the record of an entry whose id was read from its main table.
    pub(super) fn adopt(&mut self, kind: Kind, id: Option<&Located<String>>) {
        // An entry that was lost for another reason than its id still owns what stands in the file.
        let lost = self.ledger.main.clone().filter(|main| main.kind == kind);
        self.owner = id.map(|id| EntryKey { kind, id: id.value.clone() }).or(lost);
        self.whole_entry = self.owner.is_some();
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

    /// Reads a table inside this one. A table that yields nothing takes this record down with it.
    pub(super) fn descend<T>(
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

    /// Ends the reading: reports every key that nobody asked for, and every key that is missing. True where anything
    /// in the record was complained about.
    pub(super) fn finish(mut self, lost: bool) -> bool {
        self.report_unknown_keys();
        self.report_missing();
        if let (true, Some(declared)) = (lost, self.declared) {
            self.ledger.lose(declared);
        }
        if self.broken || lost {
            self.ledger.silenced.push(self.span);
        }
        if let Some(owner) = self.owner.clone().filter(|_| self.declared.is_some() || self.whole_entry) {
            self.ledger.records.push((owner, self.span));
        }
        self.broken || lost
    }

    /// Ends the reading of a file's top level.
    pub(super) fn finish_top(self) {
        self.finish(false);
    }

    fn report_unknown_keys(&mut self) {
        let table = self.table;
        let mut unknown: Vec<(Located<&str>, &Value<'_>)> = table
            .iter()
            .filter(|(key, _)| !self.asked.contains(key.get_ref().as_ref()))
            .map(|(key, value)| (Located::new(key.get_ref().as_ref(), self.key_span(key.span())), value))
            .collect();
        unknown.sort_by_key(|(key, _)| key.span);
        let alone = unknown.len() == 1 && self.lacking.len() == 1;
        for (index, (key, value)) in unknown.into_iter().enumerate() {
            self.note_unread(value);
            let remedy = if index < MOST_REMEDIES { self.remedy_for(key.value, alone) } else { TAKE_OUT.to_owned() };
            let wrong = format!("Nothing is called `{}` here.", shortened(key.value));
            self.complain(Finding::new("unknown-key", key.span, wrong, remedy));
        }
    }

    fn key_span(&self, range: std::ops::Range<usize>) -> Span {
        Span::new(self.ledger.file, range)
    }

    /// What an unknown key should have been: first of all one that is missing, which then is not reported again.
    fn remedy_for(&mut self, key: &str, alone: bool) -> String {
        let missing = nearest(key, self.lacking.iter().map(|(known, _)| *known));
        let missing = missing.or_else(|| self.lacking.first().map(|(known, _)| *known).filter(|_| alone));
        let absent = |known: &&str| !self.table.iter().any(|(there, _)| there.get_ref().as_ref() == *known);
        let optional = || nearest(key, self.asked.iter().copied().filter(absent));
        if let Some(place) = self.lacking.iter().position(|(known, _)| Some(*known) == missing) {
            let (known, wanted) = self.lacking.remove(place);
            return format!("Write `{known}`, which is missing here: {wanted}.");
        }
        match optional() {
            Some(known) => format!("Write `{known}`, if that was meant; else take it out."),
            None => {
                let known: Vec<String> = self.asked.iter().map(|known| format!("`{known}`")).collect();
                format!("Take it out, or move it to the record it belongs to. Here can stand: {}.", known.join(", "))
            }
        }
    }

    fn report_missing(&mut self) {
        for (key, wanted) in std::mem::take(&mut self.lacking) {
            let remedy = format!("Add `{key}`: {wanted}.");
            let wrong = format!("`{key}` is missing here.");
            self.ledger.complain(Finding::new("missing-field", self.header, wrong, remedy));
        }
    }

    /// Notes the words of a value that is passed over: ids may be declared in it.
    pub(super) fn note_unread(&mut self, value: &Value<'_>) {
        let start = value.span().start;
        let end = match value.get_ref() {
            DeValue::Table(table) => extent(table, self.span_of(value)).end as usize,
            DeValue::Array(values) => values.iter().map(end_of).max().unwrap_or(start),
            _ => value.span().end,
        };
        self.ledger.unread(self.text.get(start..end).unwrap_or(""));
    }
}

fn end_of(value: &Value<'_>) -> usize {
    match value.get_ref() {
        DeValue::Table(table) => extent(table, Span::new(FileId::default(), value.span())).end as usize,
        _ => value.span().end,
    }
}

fn is_empty_list(value: &DeValue<'_>) -> bool {
    matches!(value, DeValue::Array(values) if values.is_empty())
}

/// From the header of a table to the end of its last value.
fn extent(table: &DeTable<'_>, header: Span) -> Span {
    let mut end = header.end;
    let mut open = vec![table];
    while let Some(table) = open.pop() {
        for (_, value) in table {
            end = end.max(u32::try_from(value.span().end).unwrap_or(u32::MAX));
            match value.get_ref() {
                DeValue::Table(inner) => open.push(inner),
                DeValue::Array(values) => open.extend(values.iter().filter_map(|value| match value.get_ref() {
                    DeValue::Table(inner) => {
                        end = end.max(u32::try_from(value.span().end).unwrap_or(u32::MAX));
                        Some(inner)
                    }
                    _ => None,
                })),
                _ => {}
            }
        }
    }
    Span { end, ..header }
}

/// A TOML type in plain words.
pub(super) fn type_word(value: &DeValue<'_>) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) => "a whole number",
        DeValue::Float(_) => "a decimal number",
        DeValue::Boolean(_) => "true or false",
        DeValue::Datetime(_) => "a date",
        DeValue::Array(_) => "a list",
        DeValue::Table(_) => "a table",
    }
}
