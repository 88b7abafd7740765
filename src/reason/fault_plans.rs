//! The plan of every fault, and what it is worth.

use std::collections::BTreeMap;

use num_rational::Ratio;
use rayon::prelude::*;

use super::plan::{Options, Plan, PlanError, solve};
use super::problem_of::{self, Asked};
use crate::model::{Entry, Fault, Guide};

/// The plan of one fault.
#[derive(Debug, Clone)]
pub struct FaultPlan {
    pub asked: Asked,
    pub plan: Plan,
}

/// The plans of all faults that can be planned, by id of the fault.
#[derive(Debug, Default)]
pub struct FaultPlans {
    plans: BTreeMap<String, Result<FaultPlan, PlanError>>,
}

impl FaultPlans {
    /// Plans every fault.
    pub fn of(guide: &Guide) -> Self {
        let faults: Vec<&Fault> = guide.faults.iter().collect();
        let plans = faults.into_par_iter().map(|fault| (fault.id().to_owned(), plan_of(guide, fault)));
        Self { plans: plans.collect() }
    }

    /// The plan of a fault; none where the fault cannot be planned.
    pub fn get(&self, fault: &str) -> Option<&FaultPlan> {
        self.plans.get(fault)?.as_ref().ok()
    }

    /// Why a fault cannot be planned.
    pub fn error(&self, fault: &str) -> Option<&PlanError> {
        self.plans.get(fault)?.as_ref().err()
    }
}

/// Plans one fault.
///
/// # Errors
/// When the fault makes no sense as a problem, see [`PlanError`].
pub fn plan_of(guide: &Guide, fault: &Fault) -> Result<FaultPlan, PlanError> {
    let asked = problem_of::of(guide, fault);
    let plan = solve(&asked.problem, &Options::default())?;
    Ok(FaultPlan { asked, plan })
}

/// Seconds as a fraction, rounded half up to tenths of a minute: the figure that pages print.
pub fn tenths_of_minutes(seconds: Ratio<u128>) -> u128 {
    (seconds / Ratio::from_integer(6)).round().to_integer()
}
