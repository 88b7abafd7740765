//! The plan of every fault, and what it is worth.
//!
//! A plan is worked out when it is first asked for: judging a guide asks for none of them.

use std::collections::BTreeMap;
use std::sync::OnceLock;

use num_rational::Ratio;

use super::plan::{Options, Plan, PlanError, solve, too_large};
use super::problem_of::{self, Asked};
use super::records::Counts;
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
    pub fn of(guide: &Guide, counts: &Counts<'_>) -> Self {
        let asked = |fault| problem_of::of(guide, fault, &counts.of_fault(fault));
        let lazy = |fault| Lazy { asked: asked(fault), planned: OnceLock::new() };
        Self { plans: guide.faults.iter().map(|fault| (fault.id().to_owned(), lazy(fault))).collect() }
    }

    /// The plan of a fault; none where the fault cannot be planned.
    pub fn get(&self, fault: &str) -> Option<&FaultPlan> {
        self.plans.get(fault)?.planned().as_ref().ok()
    }

    /// Why a fault is too large, as far as that is known without planning it.
    pub fn too_large(&self, fault: &str) -> Option<PlanError> {
        too_large(&self.plans.get(fault)?.asked.problem)
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

/// A share in whole percent, rounded half up; 0 of nothing.
pub fn percent(part: u128, whole: u128) -> u32 {
    if whole == 0 {
        return 0;
    }
    // What does not fit is made smaller first: a percent needs no more than 120 binary digits.
    let excess = (u128::BITS - whole.leading_zeros()).saturating_sub(118);
    let (part, whole) = (part.min(whole) >> excess, whole >> excess);
    u32::try_from((part * 200 + whole) / (whole * 2)).unwrap_or(100)
}

/// Seconds as a fraction, rounded half up to tenths of a minute: the figure that pages print.
pub fn tenths_of_minutes(seconds: Ratio<u128>) -> u128 {
    (seconds / Ratio::from_integer(6)).round().to_integer()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn percents_are_rounded_and_fit_whatever_the_weights() {
        assert_eq!([percent(1, 3), percent(2, 3), percent(1, 200), percent(0, 7), percent(0, 0)], [33, 67, 1, 0, 0]);
        assert_eq!([percent(u128::MAX, u128::MAX), percent(u128::MAX / 4, u128::MAX)], [100, 25]);
    }
}
