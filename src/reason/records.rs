//! What job records say about the likelihoods of each fault. Only causes that were shown count.

use std::collections::BTreeMap;

use super::likelihood::{Likelihoods, from_records};
use super::problem_of::share_of;
use crate::model::{Entry, Fault, Guide, Outcome};

/// How many jobs the writer's opinion weighs, where the guide does not say.
pub const OPINION_JOBS: u32 = 10;

/// Likelihoods of the causes of every fault, by id of the fault.
#[derive(Debug, Default)]
pub struct Records {
    by_fault: BTreeMap<String, Likelihoods>,
}

impl Records {
    /// Joins the writer's shares with the records of every fault.
    pub fn of(guide: &Guide) -> Self {
        let likelihoods = |fault: &Fault| {
            let shares: Vec<f64> = fault.causes.iter().map(|cause| f64::from(share_of(guide, cause))).collect();
            let joined = from_records(&shares, f64::from(opinion_jobs(guide)), &counts(guide, fault))?;
            Some((fault.id().to_owned(), joined))
        };
        Self { by_fault: guide.faults.iter().filter_map(likelihoods).collect() }
    }

    /// The likelihoods of a fault's causes, in their order.
    pub fn of_fault(&self, fault: &str) -> Option<&Likelihoods> {
        self.by_fault.get(fault)
    }
}

/// How many jobs the writer's opinion weighs against records; at least one.
pub fn opinion_jobs(guide: &Guide) -> u32 {
    guide.edition.opinion_jobs.as_ref().map_or(OPINION_JOBS, |jobs| jobs.value).max(1)
}

/// How often each cause of a fault was shown.
pub fn counts(guide: &Guide, fault: &Fault) -> Vec<u64> {
    let mut counts = vec![0; fault.causes.len()];
    let shown = guide
        .job_records
        .iter()
        .filter(|record| record.outcome.value == Outcome::Shown && record.fault.as_str() == fault.id());
    for cause in shown.filter_map(|record| record.cause.as_ref()) {
        let place = fault.causes.iter().position(|known| known.id.value == cause.as_str());
        if let Some(count) = place.and_then(|place| counts.get_mut(place)) {
            *count += 1;
        }
    }
    counts
}
