//! Powered operations: every step can start, everything comes back, every stop has a fault.

mod part_not_covered_by_any_fault;
mod sequence_does_not_return;
mod signal_never_set;
mod step_ends_at_once;
mod step_never_ready;
mod unknown_signal_value;

use super::{Rule, Subject};
use crate::model::{Sequence, SequenceStep};
use crate::reason::StepFacts;

/// The family.
pub(super) static RULES: &[&Rule] = &[
    &unknown_signal_value::RULE,
    &signal_never_set::RULE,
    &step_never_ready::RULE,
    &step_ends_at_once::RULE,
    &sequence_does_not_return::RULE,
    &part_not_covered_by_any_fault::RULE,
];

/// The steps of a sequence with what simulating them told.
fn steps<'s>(
    subject: &'s Subject<'s>,
    sequence: &'s Sequence,
) -> impl Iterator<Item = (&'s SequenceStep, &'s StepFacts)> {
    let simulation = subject.facts.sequences.simulations.get(sequence.head.id.value.as_str());
    simulation.into_iter().flat_map(|simulation| sequence.steps.iter().zip(&simulation.steps))
}

/// The same of all sequences of the guide.
fn all_steps<'s>(subject: &'s Subject<'s>) -> impl Iterator<Item = (&'s SequenceStep, &'s StepFacts)> {
    subject.guide.sequences.iter().flat_map(|sequence| steps(subject, sequence))
}
