//! What a plan is worth: times to find and to repair, the likelihood of each answer, and what cannot be told apart.

use num_rational::Ratio;

use super::model::Model;
use super::problem::{PlanError, Problem};
use super::tree::{Step, Tree, Way};

/// A distribution of seconds in four figures.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spread {
    /// The mean.
    pub expected: Ratio<u128>,
    /// By then half of the cases are done.
    pub median: u64,
    /// By then nine in ten are done.
    pub ninetieth: u64,
    /// The longest that has any likelihood.
    pub worst: u64,
}

/// Times of a plan.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Times {
    /// Until the cause is found; in a group, until the repair that cures is done.
    pub find: Spread,
    /// Until it is repaired as well.
    pub repair: Spread,
}

/// The times of a tree.
pub fn times(problem: &Problem, tree: &Tree) -> Times {
    let ways = tree.ways(problem);
    Times { find: spread(&ways, |way| way.find), repair: spread(&ways, |way| way.repair) }
}

fn spread(ways: &[Way], seconds: impl Fn(&Way) -> u64) -> Spread {
    let mut sorted: Vec<(u64, u128)> = ways.iter().map(|way| (seconds(way), way.weight)).collect();
    sorted.sort_unstable();
    let total: u128 = sorted.iter().map(|(_, weight)| weight).sum();
    let sum: u128 = sorted.iter().map(|(seconds, weight)| u128::from(*seconds) * weight).sum();
    let by = |tenths: u128| {
        let mut done = 0;
        let reached = sorted.iter().find(|(_, weight)| {
            done += weight;
            *weight > 0 && at_least(done, total, tenths)
        });
        reached.map_or(0, |(seconds, _)| *seconds)
    };
    let worst = sorted.iter().rev().find(|(_, weight)| *weight > 0).map_or(0, |(seconds, _)| *seconds);
    Spread { expected: Ratio::new(sum, total.max(1)), median: by(5), ninetieth: by(9), worst }
}

/// `part` is at least so many tenths of `whole`.
fn at_least(part: u128, whole: u128, tenths: u128) -> bool {
    // The model keeps weights times seconds within 125 bits, so ten times a weight fits.
    part * 10 >= whole * tenths
}

/// Likelihood of each answer of a check, given that the check is reached: (position of the answer, likelihood).
/// Empty for a node that is no check; all zero where the node itself has no likelihood.
pub fn answers(tree: &Tree, node: usize) -> Vec<(usize, Ratio<u128>)> {
    let Some(Step::Check(step)) = tree.nodes.get(node).map(|node| &node.step) else { return Vec::new() };
    let here = tree.nodes[node].weight.max(1);
    step.answers.iter().map(|(outcome, to)| (*outcome, Ratio::new(tree.nodes[*to].weight, here))).collect()
}

/// Causes that no check of the fault tells apart, though they need different repairs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Group {
    /// Positions of the causes.
    pub causes: Vec<usize>,
    /// A machine with none of the causes looks the same.
    pub with_none: bool,
    /// Positions of the repairs in the best order to try them.
    pub order: Vec<usize>,
    /// Expected seconds of trying them, given that it is one of these.
    pub expected: Ratio<u128>,
}

/// The groups of a fault, in the order of their first causes.
///
/// # Errors
/// As for [`super::solve`].
pub fn groups(problem: &Problem) -> Result<Vec<Group>, PlanError> {
    let model = Model::new(problem)?;
    let together = |unit: &usize| !model.may_end([*unit].into_iter());
    let groups = (0..model.units.len()).filter(together).map(|at| {
        let unit = &model.units[at];
        let (order, value) = model.tried([at].into_iter(), 0);
        let mut causes: Vec<usize> = unit.members.iter().copied().filter(|member| *member != model.none_at).collect();
        causes.sort_unstable();
        Group { causes, with_none: unit.none, order, expected: Ratio::new(value, unit.weight.max(1)) }
    });
    let mut groups: Vec<Group> = groups.collect();
    groups.sort_by(|a, b| a.causes.cmp(&b.causes));
    Ok(groups)
}
