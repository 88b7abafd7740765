//! Words that messages of several families share.

use crate::model::{AnyEntry, EntryKey, Guide};
use crate::reason::Machine;
use crate::text::Span;

/// Ids as a person lists them: `a`, `b` and `c`.
pub(super) fn listed<'a>(ids: impl IntoIterator<Item = &'a str>) -> String {
    let ids: Vec<String> = ids.into_iter().map(|id| format!("`{id}`")).collect();
    match ids.as_slice() {
        [] => "nothing".to_owned(),
        [one] => one.clone(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// " on `b` and `c`", or nothing where all machines of the guide are meant.
pub(super) fn on_machines(machines: &[Machine], of_all: usize) -> String {
    let named: Vec<&str> = machines.iter().flatten().map(crate::model::Id::as_str).collect();
    if named.is_empty() || machines.len() == of_all { String::new() } else { format!(" on {}", listed(named)) }
}

/// "1 answer", "2 answers".
pub(super) fn counted(count: usize, word: &str) -> String {
    if count == 1 { format!("1 {word}") } else { format!("{count} {word}s") }
}

/// Where the title of an entry is written.
pub(super) fn title_span(guide: &Guide, entry: &AnyEntry<'_>) -> Span {
    let key = EntryKey { kind: entry.kind, id: entry.head.id.value.clone() };
    let title = guide.index.prose.iter().find(|site| site.from.as_ref() == Some(&key) && site.text == entry.title);
    title.map_or(entry.head.id.span, |site| site.span)
}
