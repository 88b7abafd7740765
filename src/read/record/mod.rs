//! One TOML table, read key by key. What is asked for is known; what was never asked for is reported at the end.

mod ending;
mod form;
mod tables;

use std::collections::BTreeSet;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

pub(super) use form::Form;

use super::ledger::Ledger;
use crate::model::{EntryKey, Kind, Name};
use crate::report::Finding;
use crate::text::{FileId, Located, Span, nearest};

/// A TOML value with its place in the file.
pub(super) type Value<'t> = Spanned<DeValue<'t>>;

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
    /// Keys that a list of tables stands under.
    lists: BTreeSet<&'static str>,
    /// Keys whose values stand in quotes.
    in_quotes: BTreeSet<&'static str>,
    broken: bool,
    declared: Option<usize>,
    whole_entry: bool,
    /// True where the keys at the top of the file lack their header, and that was said.
    headless_keys: bool,
    /// The tables inside, where the reader only shows what it asks for.
    shown: Option<Vec<Form>>,
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
            lists: BTreeSet::new(),
            in_quotes: BTreeSet::new(),
            broken: false,
            declared: None,
            whole_entry: false,
            headless_keys: false,
            shown: None,
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

    /// The same for a key whose value stands in quotes.
    pub(super) fn missing_text(&mut self, key: &'static str, wanted: &str) {
        self.missing(key, wanted);
        self.in_quotes.insert(key);
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
        let remedy = format!("Write `{key}` as {wanted}.");
        self.complain(Finding::new("wrong-type", span, format!("`{key}` is {found} here."), remedy));
    }

    /// Complains that a number or a date stands in quotes or the like, and says how it is written where that is plain.
    pub(super) fn wrong_value(&mut self, key: &str, value: &Value<'_>, wanted: &str, fits: impl Fn(&str) -> bool) {
        let written = match value.get_ref() {
            DeValue::String(text) if fits(text.trim()) => text.trim().to_owned(),
            _ => return self.wrong_type(key, value, wanted),
        };
        self.note_unread(value);
        let wrong = format!("`{key}` is text here.");
        let remedy = format!("Write `{key} = {written}`, without quotes.");
        self.complain(Finding::new("wrong-type", self.span_of(value), wrong, remedy));
    }

    /// Makes the whole file the record of an entry whose id was read from its main table.
    pub(super) fn adopt(&mut self, kind: Kind, id: Option<&Located<String>>) {
        // An entry that was lost for another reason than its id still owns what stands in the file.
        let lost = self.ledger.main.clone().filter(|main| main.kind == kind);
        self.owner = id.map(|id| EntryKey { kind, id: id.value.clone() }).or(lost);
        self.whole_entry = self.owner.is_some();
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
