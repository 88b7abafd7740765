//! What job records say about the likelihoods of each fault. Only causes that were shown count.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use super::likelihood::{Likelihoods, from_records};
use super::problem_of::share_of;
use crate::model::{Certainty, Entry, Fault, Guide};

/// How many jobs the writer's opinion weighs, where the guide does not say.
pub const OPINION_JOBS: u32 = 10;

/// Likelihoods of the causes of every fault, by id of the fault; worked out when first asked for, as judging a guide
/// asks for none of them.
#[derive(Debug, Default)]
pub struct Records {
    by_fault: BTreeMap<String, Lazy>,
}

/// The opinion and the records of one fault, and what they say together once somebody wanted it.
#[derive(Debug)]
struct Lazy {
    shares: Vec<f64>,
    counts: Vec<u64>,
    opinion_jobs: f64,
    joined: OnceLock<Option<Likelihoods>>,
}

impl Records {
    /// Puts the writer's shares beside the records of every fault.
    pub fn of(guide: &Guide) -> Self {
        let lazy = |fault: &Fault| Lazy {
            shares: fault.causes.iter().map(|cause| f64::from(share_of(guide, cause))).collect(),
            counts: counts(guide, fault),
            opinion_jobs: f64::from(opinion_jobs(guide)),
            joined: OnceLock::new(),
        };
        Self { by_fault: guide.faults.iter().map(|fault| (fault.id().to_owned(), lazy(fault))).collect() }
    }

    /// How many jobs showed a cause of a fault.
    pub fn jobs_of(&self, fault: &str) -> u64 {
        self.by_fault.get(fault).map_or(0, |lazy| lazy.counts.iter().sum())
    }

    /// The likelihoods of a fault's causes, in their order.
    pub fn of_fault(&self, fault: &str) -> Option<&Likelihoods> {
        let lazy = self.by_fault.get(fault)?;
        lazy.joined.get_or_init(|| from_records(&lazy.shares, lazy.opinion_jobs, &lazy.counts)).as_ref()
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
        .filter(|record| record.certainty.value == Certainty::Shown && record.fault.as_str() == fault.id());
    for cause in shown.filter_map(|record| record.cause.as_ref()) {
        let place = fault.causes.iter().position(|known| known.id.value == cause.as_str());
        if let Some(count) = place.and_then(|place| counts.get_mut(place)) {
            *count += 1;
        }
    }
    counts
}
