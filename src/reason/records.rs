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
    pub fn of(guide: &Guide, counts: &Counts<'_>) -> Self {
        let lazy = |fault: &Fault| Lazy {
            shares: fault.causes.iter().map(|cause| f64::from(share_of(guide, cause))).collect(),
            counts: counts.of_fault(fault),
            opinion_jobs: f64::from(opinion_jobs(guide)),
            joined: OnceLock::new(),
        };
        Self { by_fault: guide.faults.iter().map(|fault| (fault.id().to_owned(), lazy(fault))).collect() }
    }

    /// How many jobs showed a cause of a fault.
    pub fn jobs_of(&self, fault: &str) -> u64 {
        self.by_fault.get(fault).map_or(0, |lazy| lazy.counts.iter().sum())
    }

    /// How often each cause of a fault was shown, in their order.
    pub fn counts_of(&self, fault: &str) -> &[u64] {
        self.by_fault.get(fault).map_or(&[], |lazy| &lazy.counts)
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

/// How often each cause of each fault was shown, from one walk through all records.
#[derive(Debug, Default)]
pub struct Counts<'g> {
    by_fault: BTreeMap<&'g str, BTreeMap<&'g str, u64>>,
}

impl<'g> Counts<'g> {
    /// Counts the records of a guide.
    pub fn of(guide: &'g Guide) -> Self {
        let mut counts = Self::default();
        for record in guide.job_records.iter().filter(|record| record.certainty.value == Certainty::Shown) {
            if let Some(cause) = &record.cause {
                let causes = counts.by_fault.entry(record.fault.as_str()).or_default();
                *causes.entry(cause.as_str()).or_insert(0) += 1;
            }
        }
        counts
    }

    /// How often each cause of a fault was shown, in their order.
    pub fn of_fault(&self, fault: &Fault) -> Vec<u64> {
        let mut left = self.by_fault.get(fault.id()).cloned().unwrap_or_default();
        // Of two causes with one id, which has a finding of its own, the first has them all.
        fault.causes.iter().map(|cause| left.remove(cause.id.value.as_str()).unwrap_or(0)).collect()
    }
}
