//! Above exact size: the same search in steps, each proving that no tree stays under a higher limit than the last.
//!
//! The first incumbent is the tree that looks one step ahead. A step that ends with a proof raises the lower bound of
//! the whole; the last step's limit is the incumbent itself, so its answer is the best tree. What one step learns of a
//! position is kept for the next. When the budget runs out, the last proof and the best tree so far bound the gap.
//! The page script leaves this file out: a fault that needs it is not planned again on the device.

use super::model::Model;
use super::problem::PlanError;
use super::rollout::Rollout;
use super::search::{Found, Search};
use super::state::State;

/// Thousandths of the incumbent that are proved out of reach, one after the other; the first only where access is
/// shared, because bounds are weaker there.
const STEPS: [u128; 4] = [800, 850, 940, 1000];

/// The exact cost of a settled position, or the best lower bound that `until` units of work can prove.
pub(super) fn deepen(model: &Model, search: &mut Search<'_>, state: State, until: u64) -> Result<Found, PlanError> {
    let incumbent = Rollout::new(model).ahead_cost(&state)?;
    let mut proved = 0;
    search.until(until);
    let shared = model.extras.iter().any(|seconds| *seconds > 0);
    for part in STEPS.into_iter().skip(usize::from(!shared)) {
        match search.solve(state, part_of(incumbent, part), None) {
            Found::Exact(cost) => return Ok(Found::Exact(cost)),
            Found::Over(cost) => proved = proved.max(cost),
            Found::Spent(cost) => return Ok(Found::Spent(proved.max(cost))),
        }
    }
    Ok(Found::Spent(proved))
}

/// Rounded down, without leaving the range.
fn part_of(whole: u128, thousandths: u128) -> u128 {
    whole / 1000 * thousandths + whole % 1000 * thousandths / 1000
}
