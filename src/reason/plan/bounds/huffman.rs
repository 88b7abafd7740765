//! Huffman's bound: repair groups must be told apart, and each step down a path needs another check.
//!
//! The plain code length times the cheapest check is a bound (Huffman 1952). A path of length d also needs d
//! different checks, so the d-th one costs at least the d-th cheapest. The last merge of Huffman's process is the root
//! of the tree, the `arity` merges before it are the next level at best, and so on: a forest of at most `arity^d`
//! trees has the least total when the process is stopped that early, so pricing level by level stays a bound.

use crate::reason::plan::model::Model;
use crate::reason::plan::set::{Set, members, one};
use crate::reason::plan::state::State;

/// Weights of the groups that must end on different leaves.
pub(crate) fn groups(model: &Model, state: &State) -> Vec<u128> {
    let mut left = state.set;
    let mut groups = Vec::new();
    while left != 0 {
        let group = component(model, left);
        left &= !group;
        groups.push(members(group).map(|unit| model.weight(unit, state.done)).sum());
    }
    groups
}

/// The units connected to the first one by "need not be told apart".
fn component(model: &Model, within: Set) -> Set {
    let mut reached = one(within.trailing_zeros() as usize);
    let mut fresh = reached;
    while fresh != 0 {
        let unit = fresh.trailing_zeros() as usize;
        fresh &= fresh - 1;
        let new = within & !model.must[unit] & !reached;
        reached |= new;
        fresh |= new;
    }
    reached
}

/// Least expected cost of telling `weights` apart with checks of these costs (cheapest first), `arity` answers each.
pub(crate) fn bound(mut weights: Vec<u128>, costs: &[u64], arity: usize) -> u128 {
    if weights.len() < 2 || costs.is_empty() || arity < 2 {
        return 0;
    }
    let short = (weights.len() - 1) % (arity - 1);
    if short != 0 {
        weights.extend(std::iter::repeat_n(0, arity - 1 - short));
    }
    let merges = merges(weights, arity);
    let (mut level, mut width, mut used, mut sum) = (0, 1_usize, 0, 0_u128);
    for merge in merges.iter().rev() {
        if used == width {
            (level, width, used) = (level + 1, width.saturating_mul(arity), 0);
        }
        sum += merge * u128::from(costs[level.min(costs.len() - 1)]);
        used += 1;
    }
    sum
}

/// The weights of the inner nodes in the order Huffman's process makes them: never falling.
fn merges(mut leaves: Vec<u128>, arity: usize) -> Vec<u128> {
    leaves.sort_unstable();
    let (mut leaf, mut inner, mut merged): (usize, usize, Vec<u128>) = (0, 0, Vec::new());
    while leaves.len() - leaf + merged.len() - inner > 1 {
        let mut sum = 0;
        for _ in 0..arity {
            let from_leaves = leaf < leaves.len() && (inner >= merged.len() || leaves[leaf] <= merged[inner]);
            if from_leaves {
                sum += leaves[leaf];
                leaf += 1;
            } else if inner < merged.len() {
                sum += merged[inner];
                inner += 1;
            }
        }
        merged.push(sum);
    }
    merged
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn huffmans_own_table() {
        // Huffman, Proc. IRE 40, 1952, Table I, cited from memory: 3.42 for these thirteen messages.
        let weights = vec![20, 18, 10, 10, 10, 6, 6, 4, 4, 4, 4, 3, 1];
        assert_eq!(bound(weights, &[1; 13], 2), 342);
        // Cormen et al., Introduction to Algorithms, Huffman example, cited from memory: 2.24.
        assert_eq!(bound(vec![45, 13, 12, 16, 9, 5], &[1; 5], 2), 224);
    }

    #[test]
    fn later_levels_cost_more_and_wide_checks_less() {
        assert_eq!(bound(vec![1, 1, 1, 1], &[1, 3, 3], 2), 4 + 2 * 3 + 2 * 3);
        assert_eq!(bound(vec![1, 1, 1], &[5], 3), 15);
        assert_eq!(bound(vec![1], &[5], 2), 0);
        assert_eq!(bound(vec![1, 1], &[], 2), 0);
    }
}
