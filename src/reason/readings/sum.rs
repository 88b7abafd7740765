//! Several values added up, some of them perhaps not measured yet.

use num_traits::{CheckedAdd, Zero};

use crate::model::quantity::Exact;

/// Values added up.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sum {
    /// What has been measured, together, in base units.
    pub total: Exact,
    /// How many places have no value yet: while there are any, the total is the least it can be.
    pub missing: usize,
}

/// Adds values in base units; `None` where the sum grows too large to be exact.
pub fn sum(values: &[Option<Exact>]) -> Option<Sum> {
    let total = values.iter().flatten().try_fold(Exact::zero(), |total, value| total.checked_add(value))?;
    Some(Sum { total, missing: values.iter().filter(|value| value.is_none()).count() })
}
