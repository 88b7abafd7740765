//! The plan of every fault, and what it is worth.
//!
//! A plan is worked out when it is first asked for: judging a guide asks for none of them.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use num_rational::Ratio;

use super::plan::{Options, Plan, PlanError, solve};
use super::problem_of::{self, Asked};
use crate::model::{Entry, Guide};

/// The plan of one fault.
#[derive(Debug, Clone)]
pub struct FaultPlan {
    pub asked: Asked,
    pub plan: Plan,
}

/// The plans of all faults that can be planned, by id of the fault.
#[derive(Debug, Default)]
pub struct FaultPlans {
    plans: BTreeMap<String, Lazy>,
}

/// A fault as a problem, and its plan once somebody wanted it.
#[derive(Debug)]
struct Lazy {
    asked: Asked,
    planned: OnceLock<Result<FaultPlan, PlanError>>,
}

impl FaultPlans {
    /// Puts every fault as a problem.
    pub fn of(guide: &Guide) -> Self {
        let lazy = |fault| Lazy { asked: problem_of::of(guide, fault), planned: OnceLock::new() };
        Self { plans: guide.faults.iter().map(|fault| (fault.id().to_owned(), lazy(fault))).collect() }
    }

    /// The plan of a fault; none where the fault cannot be planned.
    pub fn get(&self, fault: &str) -> Option<&FaultPlan> {
        self.plans.get(fault)?.planned().as_ref().ok()
    }

    /// Why a fault cannot be planned.
    pub fn error(&self, fault: &str) -> Option<&PlanError> {
        self.plans.get(fault)?.planned().as_ref().err()
    }
}

impl Lazy {
    /// Nothing in the solver waits for another thread, so nobody waits for themselves here.
    fn planned(&self) -> &Result<FaultPlan, PlanError> {
        self.planned.get_or_init(|| {
            let plan = solve(&self.asked.problem, &Options::default())?;
            Ok(FaultPlan { asked: self.asked.clone(), plan })
        })
    }
}

/// Seconds as a fraction, rounded half up to tenths of a minute: the figure that pages print.
pub fn tenths_of_minutes(seconds: Ratio<u128>) -> u128 {
    (seconds / Ratio::from_integer(6)).round().to_integer()
}
