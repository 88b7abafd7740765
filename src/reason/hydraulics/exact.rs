//! Exact arithmetic that gives up instead of overflowing.

use num_traits::{CheckedAdd, CheckedDiv, CheckedMul, CheckedSub, Zero};

use crate::model::quantity::Exact;

/// π to seventeen digits, as the best fraction of that length.
pub(super) fn pi() -> Exact {
    Exact::new(245_850_922, 78_256_779)
}

pub(super) fn zero() -> Exact {
    Exact::zero()
}

pub(super) fn add(one: Exact, other: Exact) -> Option<Exact> {
    // Most sums have nothing to add: worth a look, for each would be reduced again.
    if other.is_zero() {
        return Some(one);
    }
    one.checked_add(&other)
}

pub(super) fn sub(one: Exact, other: Exact) -> Option<Exact> {
    one.checked_sub(&other)
}

pub(super) fn mul(one: Exact, other: Exact) -> Option<Exact> {
    one.checked_mul(&other)
}

/// The quotient; `None` by nothing.
pub(super) fn div(one: Exact, other: Exact) -> Option<Exact> {
    if other.is_zero() { None } else { one.checked_div(&other) }
}
