//! Which entries rest on one that could not be read whole: rules that look from entry to entry do not judge them.

use std::collections::BTreeSet;

use crate::model::{EntryKey, Index};
use crate::text::Span;

/// The records of the entries that mention a broken one. `silenced` are the broken records.
pub(super) fn resting_on_broken(index: &Index, silenced: &[Span]) -> Vec<Span> {
    if silenced.is_empty() {
        return Vec::new();
    }
    let silenced = crate::text::joined(silenced.to_vec());
    let touched = |record: &Span| {
        let after = silenced.partition_point(|span| (span.file, span.start) < (record.file, record.end.max(1)));
        let last = after.checked_sub(1).and_then(|last| silenced.get(last));
        last.is_some_and(|span| span.file == record.file && span.end > record.start)
    };
    let broken: BTreeSet<&EntryKey> =
        index.records.iter().filter(|(_, record)| touched(record)).map(|(key, _)| key).collect();
    let mut resting = BTreeSet::new();
    for link in &index.links {
        let to = super::unknown::owner_of(&link.to).unwrap_or_else(|| link.to.clone());
        if let Some(from) = &link.from
            && broken.contains(&EntryKey { kind: to.kind, id: to.id })
        {
            resting.insert(from);
        }
    }
    let records = index.records.iter().filter(|(key, _)| resting.contains(key));
    records.map(|(_, span)| *span).collect()
}
