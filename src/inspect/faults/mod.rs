//! Faults: every cause can be seen, told apart and mended.

mod answer_going_two_ways;
mod answer_leaving_no_cause;
mod brought_cause_not_checked_after_repair;
mod cause_in_no_answer;
mod cause_without_check;
mod cause_without_repair;
mod causes_never_told_apart;
mod check_that_decides_nothing;
mod check_that_needs_recalibration;
mod check_that_takes_no_time;
mod check_waiting_for_itself;
mod costly_repair_by_elimination;
mod costly_repair_never_seen;
mod costly_repair_on_trial;
mod fault_too_large;
mod fault_without_cause;
mod fault_without_verification;
mod faults_going_in_circles;
mod minutes_out_of_scale;
mod missing_likelihood;
mod opinion_against_records;

use super::{Rule, Subject};
use crate::model::{Entry, Fault, Id, Need, Procedure};
use crate::reason::faults::FaultFacts;
use crate::reason::proof::WantsProof;
use crate::report::{Level, RuleInfo};

/// The family.
pub(super) static RULES: &[&Rule] = &[
    &fault_without_verification::RULE,
    &fault_without_cause::RULE,
    &cause_without_repair::RULE,
    &missing_likelihood::RULE,
    &opinion_against_records::RULE,
    &cause_without_check::RULE,
    &costly_repair_by_elimination::RULE,
    &costly_repair_never_seen::RULE,
    &costly_repair_on_trial::RULE,
    &fault_too_large::RULE,
    &causes_never_told_apart::RULE,
    &cause_in_no_answer::RULE,
    &check_that_decides_nothing::RULE,
    &check_waiting_for_itself::RULE,
    &check_that_needs_recalibration::RULE,
    &answer_leaving_no_cause::RULE,
    &answer_going_two_ways::RULE,
    &faults_going_in_circles::RULE,
    &brought_cause_not_checked_after_repair::RULE,
    &Rule {
        info: RuleInfo {
            name: "brought-cause-unknown-to-any-fault",
            family: "faults",
            level: Level::Error,
            matters: "What the first trouble left behind would not be found in the guide.",
            page: include_str!("brought-cause-unknown-to-any-fault.md"),
            softenable: false,
        },
        check: None,
    },
    &check_that_takes_no_time::RULE,
    &minutes_out_of_scale::RULE,
    &Rule {
        info: RuleInfo {
            name: "likelihood-said-twice",
            family: "faults",
            level: Level::Error,
            matters: "Of two figures for one thing the plan takes one, and the writer changes the other.",
            page: include_str!("likelihood-said-twice.md"),
            softenable: false,
        },
        check: None,
    },
];

/// Those that look at plans, asked a second time once there are no errors.
pub(super) static OF_PLANS: &[&Rule] = &[&fault_too_large::RULE, &costly_repair_never_seen::RULE];

/// The faults whose answers name only causes that are there, with their facts: what `unknown-id` reports is not judged
/// a second time.
fn sure_faults<'g>(subject: &Subject<'g>) -> impl Iterator<Item = (&'g Fault, &'g FaultFacts)> {
    let facts = &subject.facts.faults;
    subject.guide.faults.iter().filter_map(move |fault| {
        let known = facts.get(fault.id())?;
        known.sure.then_some((fault, known))
    })
}

/// What makes a repair one that wants proof, as the end of a sentence.
fn proof_words(proof: &WantsProof, repair: &Id<Procedure>) -> String {
    match proof {
        WantsProof::Costly { part, procedure } if procedure == repair => {
            format!("replaces or disturbs the costly part `{part}`")
        }
        WantsProof::Costly { part, procedure } => {
            format!("runs `{procedure}`, which replaces or disturbs the costly part `{part}`")
        }
        WantsProof::Recalibration(Need::Conditional) => "may have to be followed by recalibration".to_owned(),
        WantsProof::Recalibration(_) => "must be followed by recalibration".to_owned(),
    }
}
