//! Powered operations, simulated step by step: how every signal stands, what a step waits for in vain, what to suspect.

use std::collections::{BTreeMap, BTreeSet};

use crate::model::{Condition, Guide, Id, Link, Part, Sequence, SequenceStep, SignalLine};
use crate::text::Span;

/// The simulation of every sequence.
#[derive(Debug, Default)]
pub struct SequenceFacts {
    pub simulations: BTreeMap<Id<Sequence>, Simulation>,
}

/// How every known signal stands.
pub type Standing = BTreeMap<Id<SignalLine>, Stand>;

/// How one signal stands, and where that is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stand {
    /// The value; `None` where the writer gave one that the signal cannot have, so that nothing can be said.
    pub value: Option<String>,
    pub span: Span,
}

/// One sequence, simulated from its start.
#[derive(Debug, Default)]
pub struct Simulation {
    pub steps: Vec<StepFacts>,
    /// How the signals stand at the end.
    pub end: Standing,
}

/// One step of a simulation.
#[derive(Debug, Default)]
pub struct StepFacts {
    /// How the first signal that ends it stands before it.
    pub stood: Option<Stand>,
    /// Needs that are not met.
    pub unmet: Vec<Unmet>,
    /// True where everything that ends it stands already before it begins.
    pub ends_at_once: bool,
    /// What to suspect when the machine stops here: the parts driven, then those behind the signals waited for.
    pub suspects: Vec<Suspect>,
}

/// A need that is not met.
#[derive(Debug, Clone)]
pub struct Unmet {
    /// Which of the step's needs.
    pub need: usize,
    /// How the signal stands; `None` where nothing has set it so far.
    pub stands: Option<Stand>,
    /// True where some step, this or a later one, sets the signal.
    pub set_later: bool,
}

/// A part that may have stopped the machine.
#[derive(Debug, Clone)]
pub struct Suspect {
    pub part: Id<Part>,
    /// The signal it gives, where it is suspected for that; `None` where the step drives it.
    pub signal: Option<Id<SignalLine>>,
    /// Where the step names it or its signal.
    pub span: Span,
}

impl SequenceFacts {
    /// Walks every sequence.
    pub fn of(guide: &Guide) -> Self {
        let simulations = guide.sequences.iter().map(|sequence| {
            let id = Id::new(sequence.head.id.value.as_str());
            (id, simulate(guide, sequence, &start(guide, sequence)))
        });
        Self { simulations: simulations.collect() }
    }
}

/// How the signals stand at the start of a sequence.
pub fn start(guide: &Guide, sequence: &Sequence) -> Standing {
    let mut standing = Standing::new();
    put(guide, &mut standing, &sequence.start);
    standing
}

/// Walks a sequence from any standing. A need that is not met is taken as met afterwards: one mistake is told once.
pub fn simulate(guide: &Guide, sequence: &Sequence, from: &Standing) -> Simulation {
    let mut simulation = Simulation { steps: Vec::new(), end: from.clone() };
    let mut proved = BTreeSet::new();
    for (index, step) in sequence.steps.iter().enumerate() {
        let stood = step.ends_on.first().and_then(|end| simulation.end.get(&end.signal.value)).cloned();
        let ahead = sequence.steps.get(index..).unwrap_or_default();
        let unmet = unmet(guide, step, &simulation.end, ahead);
        put(guide, &mut simulation.end, &step.needs);
        let ends_at_once =
            !step.ends_on.is_empty() && step.ends_on.iter().all(|it| met(guide, &simulation.end, it) == Some(true));
        put(guide, &mut simulation.end, &step.sets);
        put(guide, &mut simulation.end, &step.ends_on);
        let suspects = suspects(guide, step, &proved);
        proved.extend(step.needs.iter().chain(&step.ends_on).map(|condition| condition.signal.as_str()));
        simulation.steps.push(StepFacts { stood, unmet, ends_at_once, suspects });
    }
    simulation
}

fn put(guide: &Guide, standing: &mut Standing, conditions: &[Condition]) {
    for condition in conditions {
        let value = can_have(guide, condition).then(|| condition.value.value.clone());
        let stand = Stand { value, span: condition.value.span };
        standing.insert(condition.signal.value.clone(), stand);
    }
}

/// True where the signal of a condition can have its value, or is not known at all.
pub fn can_have(guide: &Guide, condition: &Condition) -> bool {
    let signal = guide.signals.get(&condition.signal.value);
    signal.is_none_or(|signal| signal.values.iter().any(|value| value.value == condition.value.value))
}

/// Whether a condition is met; `None` where nothing can be said.
fn met(guide: &Guide, standing: &Standing, condition: &Condition) -> Option<bool> {
    if !can_have(guide, condition) {
        return None;
    }
    match standing.get(&condition.signal.value) {
        Some(stand) => stand.value.as_ref().map(|value| *value == condition.value.value),
        None => Some(false),
    }
}

fn unmet(guide: &Guide, step: &SequenceStep, before: &Standing, ahead: &[SequenceStep]) -> Vec<Unmet> {
    let needs = step.needs.iter().enumerate();
    let open = needs.filter(|(_, condition)| met(guide, before, condition) == Some(false));
    open.map(|(need, condition)| {
        let signal = &condition.signal.value;
        let stands = before.get(signal).cloned();
        let sets = |step: &SequenceStep| step.sets.iter().chain(&step.ends_on).any(|it| it.signal.value == *signal);
        Unmet { need, stands, set_later: ahead.iter().any(sets) }
    })
    .collect()
}

/// Driven parts, and the parts behind signals waited for. A signal that an earlier step needed or ended on has proved
/// itself.
fn suspects(guide: &Guide, step: &SequenceStep, proved: &BTreeSet<&str>) -> Vec<Suspect> {
    let driven = step.drives.iter().map(|part| Suspect { part: part.value.clone(), signal: None, span: part.span });
    let needs = step.needs.iter().filter(|condition| !proved.contains(condition.signal.as_str()));
    let awaited = step.ends_on.iter().chain(needs).filter_map(|condition| behind(guide, &condition.signal));
    let mut suspects: Vec<Suspect> = Vec::new();
    for suspect in driven.chain(awaited) {
        if suspects.iter().all(|known| known.part != suspect.part) {
            suspects.push(suspect);
        }
    }
    suspects
}

fn behind(guide: &Guide, signal: &Link<SignalLine>) -> Option<Suspect> {
    let part = guide.signals.get(&signal.value)?.part.as_ref()?.value.clone();
    Some(Suspect { part, signal: Some(signal.value.clone()), span: signal.span })
}
