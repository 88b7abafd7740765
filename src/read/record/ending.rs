//! What is said of a table once it was read: keys that nobody asked for, and keys that are missing.

use super::tables::all_of;
use super::{Record, Value};
use crate::read::links::shortened;
use crate::report::Finding;
use crate::text::{Located, Span, nearest};

/// Unknown keys of one record for which the nearest known key is worth looking for.
const MOST_REMEDIES: usize = 50;

const TAKE_OUT: &str = "Take it out, or move it to the record it belongs to.";

/// Tables that a writer may take for a list in their owner.
const OWN_TABLES: [&str; 14] = [
    "access",
    "actuator",
    "band",
    "cause",
    "check",
    "consumable",
    "hose",
    "node",
    "passage",
    "port",
    "pump",
    "signal",
    "step",
    "test_point",
];

fn own_table(key: &str) -> Option<&'static str> {
    let one = key.strip_suffix("es").filter(|key| *key == "access").or(key.strip_suffix('s')).unwrap_or(key);
    OWN_TABLES.into_iter().find(|table| *table == one)
}

impl Record<'_, '_> {
    /// Ends the reading: reports every key that nobody asked for, and every key that is missing. True where anything
    /// in the record was complained about.
    pub(in crate::read) fn finish(mut self, lost: bool) -> bool {
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

    /// Ends the reading of a file in which every key stands under a header.
    pub(in crate::read) fn finish_file(mut self) {
        let headers: Vec<String> = self.asked.iter().map(|key| self.header_of(key)).collect();
        let loose = self.loose_keys();
        if let ([first, _, ..], false) = (loose.as_slice(), self.headless_keys) {
            let wrong = format!("{} stand above the first header: nothing reads them there.", all_of(&loose));
            let remedy = format!("Write the header they belong to above them. Here can be: {}.", headers.join(", "));
            self.complain(Finding::new("unknown-key", first.span, wrong, remedy));
            self.headless_keys = true;
        }
        if self.table.is_empty() && self.lacking.is_empty() && !self.is_hurt() {
            let remedy = format!("Begin it with {}, or take the file out.", headers.join(" or "));
            self.complain(Finding::new("missing-field", self.header, "Nothing stands in this file.", remedy));
        }
        self.finish(false);
    }

    /// A table as its header is written: in double brackets where it may come again.
    fn header_of(&self, key: &str) -> String {
        if self.lists.contains(key) { format!("`[[{key}]]`") } else { format!("`[{key}]`") }
    }

    /// Ends the reading of a table that is all of its kind in a file.
    pub(in crate::read) fn finish_top(self) {
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
        let headless = if self.headless_keys { self.loose_keys() } else { Vec::new() };
        unknown.retain(|(key, value)| {
            let said = headless.iter().any(|loose| loose.value == key.value);
            if said {
                self.note_unread(value);
            }
            !said
        });
        let alone = unknown.len() == 1 && self.lacking.len() == 1;
        for (index, (key, value)) in unknown.into_iter().enumerate() {
            self.note_unread(value);
            let remedy = if index < MOST_REMEDIES { self.remedy_for(key.value, alone) } else { TAKE_OUT.to_owned() };
            let wrong = format!("Nothing is called `{}` here.", shortened(key.value));
            self.complain(Finding::new("unknown-key", key.span, wrong, remedy));
        }
    }

    pub(super) fn key_span(&self, range: std::ops::Range<usize>) -> Span {
        Span::new(self.ledger.file, range)
    }

    /// What an unknown key should have been: first of all one that is missing, which then is not reported again.
    fn remedy_for(&mut self, key: &str, alone: bool) -> String {
        let missing = nearest(key, self.lacking.iter().map(|(known, _)| *known));
        let absent = |known: &&str| !self.table.iter().any(|(there, _)| there.get_ref().as_ref() == *known);
        let optional = nearest(key, self.asked.iter().copied().filter(absent));
        let only = self.lacking.first().map(|(known, _)| *known).filter(|_| alone && optional.is_none());
        let missing = missing.or(only);
        if let Some(place) = self.lacking.iter().position(|(known, _)| Some(*known) == missing) {
            let (known, wanted) = self.lacking.remove(place);
            return format!("Write `{known}`, which is missing here: {wanted}.");
        }
        match optional {
            Some(known) => format!("Write `{known}`, if that was meant; else take it out."),
            None if own_table(key).is_some() => {
                let table = own_table(key).unwrap_or_default();
                format!("Write each as a table of its own further down: a header `[[{table}]]`, below it its keys.")
            }
            None => {
                let known: Vec<String> = self.asked.iter().map(|known| format!("`{known}`")).collect();
                format!("Take it out, or move it to the record it belongs to. Here can stand: {}.", known.join(", "))
            }
        }
    }

    /// One finding for all that is missing in a record.
    fn report_missing(&mut self) {
        let lacking = std::mem::take(&mut self.lacking);
        let keys: Vec<Located<&str>> = lacking.iter().map(|(key, _)| Located::new(*key, self.header)).collect();
        let wrong = match keys.as_slice() {
            [] => return,
            [one] => format!("`{}` is missing here.", one.value),
            several => format!("{} are missing here.", all_of(several)),
        };
        let wanted = lacking.iter().map(|(key, wanted)| {
            let shown = if self.in_quotes.contains(key) { format!("{key} = \"…\"") } else { (*key).to_owned() };
            format!("`{shown}`: {wanted}")
        });
        let remedy = format!("Add {}.", wanted.collect::<Vec<_>>().join("; "));
        self.ledger.complain(Finding::new("missing-field", self.header, wrong, remedy));
    }
}
