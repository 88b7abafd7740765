//! `sequences/*.toml`

use toml::de::DeValue;

use crate::model::quantity::Dimension;
use crate::model::{Condition, Guide, Head, Id, Kind, ProseRole, Sequence, SequenceStep, SignalLine};
use crate::read::record::Record;
use crate::text::{Located, Span};

/// The signals of a file, and the one sequence it may hold.
pub(in crate::read) fn file(record: &mut Record<'_, '_>, guide: &mut Guide) {
    for signal in record.entries("signal", signal) {
        guide.signals.insert(Id::new(signal.head.id.value.as_str()), signal);
    }
    let alone = record.has("signal") && !record.has("sequence") && !record.has("step");
    if let Some(sequence) = if alone { None } else { record.single("sequence", sequence) } {
        guide.sequences.insert(Id::new(sequence.head.id.value.as_str()), sequence);
    }
}

fn signal(record: &mut Record<'_, '_>) -> Option<SignalLine> {
    let head = record.head(Kind::Signal);
    let name = record.line("name", ProseRole::Text, "what the signal tells");
    let part = record.link_opt("part", Kind::Part);
    let values = record.words("values");
    record.empty_list("values", "the values it can have, such as [\"open\", \"closed\"]");
    if values.is_empty() {
        record.missing("values", "the values it can have, such as [\"open\", \"closed\"]");
    }
    Some(SignalLine { head: head?, name: name?, part, values })
}

fn sequence(top: &mut Record<'_, '_>) -> Option<Sequence> {
    let main = top.child("sequence", |record| {
        let head = record.head(Kind::Sequence);
        let name = record.line("name", ProseRole::Text, "the operation");
        let says = record.prose_opt("says", ProseRole::Text);
        let start = conditions(record, "start");
        let undone_by = record.link_opt("undone_by", Kind::Sequence);
        Some((head?, name?, says, start, undone_by))
    });
    let owner = main.as_ref().map(|(head, ..): &(Head, _, _, _, _)| head.id.clone());
    top.adopt(Kind::Sequence, owner.as_ref());
    let steps = top.children("step", step);
    let (mut head, name, says, start, undone_by) = main?;
    head.span = top.span;
    Some(Sequence { head, name, says, start, undone_by, steps })
}

fn step(record: &mut Record<'_, '_>) -> Option<SequenceStep> {
    let id = record.local_id(Kind::SequenceStep);
    let says = record.line("says", ProseRole::Text, "what a person sees");
    let step = SequenceStep {
        needs: conditions(record, "needs"),
        drives: record.links("drives", Kind::Part),
        sets: conditions(record, "sets"),
        ends_on: conditions(record, "ends_on"),
        at_most: record.varied("at_most", Dimension::Time),
        faults: record.links("faults", Kind::Fault),
        span: record.span,
        id: id?,
        says: says?,
    };
    Some(step)
}

/// `{ signal-id = "value" }`: the keys are ids of signals.
fn conditions(record: &mut Record<'_, '_>, key: &'static str) -> Vec<Condition> {
    let Some(value) = record.take(key) else { return Vec::new() };
    let DeValue::Table(table) = value.get_ref() else {
        record.wrong_type(key, value, "a table of signals and values, such as { lock = \"open\" }");
        return Vec::new();
    };
    let mut found = Vec::new();
    for (signal, value) in table {
        let span = Span::new(record.ledger.file, signal.span());
        let word = Located::new(signal.get_ref().to_string(), span);
        let signal = record.mention(key, Kind::Signal, word);
        let value = record.string(key, value);
        if let (Some(signal), Some(value)) = (signal, value) {
            found.push(Condition { signal, value });
        }
    }
    found
}
