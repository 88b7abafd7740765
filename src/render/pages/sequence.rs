//! Sequences, with what to look at where the machine stops.

use std::collections::BTreeSet;

use super::{Draft, entry_draft, kind_word, number};
use crate::model::{Condition, Kind, Part, Sequence, SequenceStep, SignalLine};
use crate::render::place::Place;
use crate::render::views::pieces::Link;
use crate::render::views::sequence as view;

pub(super) fn draft<'g>(place: Place<'g>, sequence: &'g Sequence) -> Draft {
    entry_draft(place, sequence, "sequence", kind_word(place, Kind::Sequence), &page(place, sequence))
}

fn page(place: Place<'_>, sequence: &Sequence) -> view::Sequence {
    let times = sequence.steps.iter().flat_map(|step| &step.at_most).map(|time| time.source.as_ref());
    view::Sequence {
        intro_html: place.blocks_opt(sequence.says.as_ref()),
        cautions: place.cautions([place.guide.cautions.as_slice()]),
        figure: None,
        start: conditions(place, &sequence.start),
        undone_by: sequence.undone_by.as_ref().map(|link| place.link(Kind::Sequence, link.as_str())),
        signals: signals(place, sequence),
        steps: sequence.steps.iter().enumerate().map(|(index, it)| step(place, index, it)).collect(),
        sources: place.sources(times),
    }
}

fn conditions(place: Place<'_>, conditions: &[Condition]) -> Vec<String> {
    let text = |condition: &Condition| {
        let signal = place.guide.signals.get(&condition.signal.value);
        let name = signal.map_or(condition.signal.as_str(), |signal| signal.name.value.as_str());
        format!("{name}: {}", condition.value.value)
    };
    conditions.iter().map(text).collect()
}

fn all_conditions(sequence: &Sequence) -> impl Iterator<Item = &Condition> {
    let steps = sequence.steps.iter().flat_map(|step| step.needs.iter().chain(&step.sets).chain(&step.ends_on));
    sequence.start.iter().chain(steps)
}

fn signals(place: Place<'_>, sequence: &Sequence) -> Vec<view::SignalValues> {
    let used: BTreeSet<&str> = all_conditions(sequence).map(|condition| condition.signal.as_str()).collect();
    let signals = used.into_iter().filter_map(|id| place.guide.signals.find(id));
    let view = |signal: &SignalLine| view::SignalValues {
        name: signal.name.value.clone(),
        part: signal.part.as_ref().map(|part| place.part(part)),
        values: signal.values.iter().map(|value| value.value.clone()).collect(),
    };
    signals.map(view).collect()
}

fn step(place: Place<'_>, index: usize, step: &SequenceStep) -> view::Step {
    view::Step {
        anchor: format!("step-{}", step.id.value),
        number: number(index),
        name: step.says.value.clone(),
        needs: conditions(place, &step.needs),
        drives: step.drives.iter().map(|part| place.part(part).text).collect(),
        ends_on: conditions(place, &step.ends_on),
        at_most: place.varied(&step.at_most).map(|time| time.first),
        stall: view::Stall {
            seen: seen(place, step),
            suspects: suspects(place, step),
            faults: step.faults.iter().map(|fault| place.link(Kind::Fault, fault.as_str())).collect(),
        },
    }
}

/// What one sees when a step hangs: what should end it does not come.
fn seen(place: Place<'_>, step: &SequenceStep) -> String {
    let awaited = conditions(place, &step.ends_on);
    match awaited.as_slice() {
        [] => place.word("step_stays"),
        awaited => place.said("never_comes", &[("signals", awaited.join(", "))]),
    }
}

/// What the step waits for first, then what it drives: each part once.
fn suspects(place: Place<'_>, step: &SequenceStep) -> Vec<view::Suspect> {
    let behind = |condition: &Condition| {
        let signal = place.guide.signals.get(&condition.signal.value)?;
        Some((signal.part.as_ref()?.value.clone(), format!("{}: {}", signal.name.value, condition.value.value)))
    };
    let awaited = step.ends_on.iter().chain(&step.needs).filter_map(behind);
    let driven = step.drives.iter().map(|part| (part.value.clone(), place.word("drives")));
    let mut seen = BTreeSet::new();
    let mut suspects = Vec::new();
    for (part, why) in awaited.chain(driven) {
        if seen.insert(part.clone()) {
            suspects.push(view::Suspect { part: link(place, &part), why });
        }
    }
    suspects
}

fn link(place: Place<'_>, part: &crate::model::Id<Part>) -> Link {
    place.link(Kind::Part, part.as_str())
}
