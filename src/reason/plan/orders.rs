//! What the plain orders would cost on the same fault: a fixed list of checks, walked until the cause is found.
//!
//! Each order ranks the checks once. On the way, a check that no longer tells anything is skipped; pinned checks,
//! access, make-safe, states and `after` hold as in the plan. The likelihood of a check is that of the causes a sound
//! machine's answer rules in; its seconds include what it needs opened on an untouched machine.

use num_rational::Ratio;

use super::model::{Model, Probe};
use super::problem::{PlanError, Problem};
use super::tree::Tree;
use super::wide;

/// A plain order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Rule {
    /// "Quick and probable first", read literally: by the sum of a check's places by seconds and by likelihood.
    QuickAndProbable,
    /// Most likelihood per second first.
    LikelihoodPerSecond,
    /// Fewest seconds first.
    CheapestFirst,
    /// Most likely first.
    MostLikelyFirst,
}

impl Rule {
    /// All of them.
    pub const ALL: [Self; 4] =
        [Self::QuickAndProbable, Self::LikelihoodPerSecond, Self::CheapestFirst, Self::MostLikelyFirst];
}

/// What one plain order costs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Plain {
    /// The order.
    pub rule: Rule,
    /// Positions of the checks in that order.
    pub checks: Vec<usize>,
    /// Expected seconds to find.
    pub expected: Ratio<u128>,
}

/// The plain orders of a fault.
///
/// # Errors
/// As for [`super::solve`].
pub fn plain_orders(problem: &Problem) -> Result<Vec<Plain>, PlanError> {
    let model = Model::new(problem)?;
    Rule::ALL.into_iter().map(|rule| plain(problem, &model, rule)).collect()
}

fn plain(problem: &Problem, model: &Model, rule: Rule) -> Result<Plain, PlanError> {
    let order = wide::order(model, &ranked(model, rule));
    let tree = wide::walk(problem, model, &order)?;
    let expected = Ratio::new(tree.cost(problem), model.total.max(1));
    Ok(Plain { rule, checks: order.into_iter().map(|place| model.probes[place].original).collect(), expected })
}

/// The tree of a plain order, if it costs less than `limit`: the plan is never worse than what anyone would try.
pub(super) fn cheaper(problem: &Problem, model: &Model, limit: u128) -> Option<Tree> {
    let trees = Rule::ALL.into_iter().filter_map(|rule| {
        let tree = wide::walk(problem, model, &wide::order(model, &ranked(model, rule))).ok()?;
        Some((tree.cost(problem), tree))
    });
    trees.filter(|(cost, _)| *cost < limit).min_by_key(|(cost, _)| *cost).map(|(_, tree)| tree)
}

fn ranked(model: &Model, rule: Rule) -> Vec<usize> {
    let places: Vec<usize> = (0..model.probes.len()).collect();
    let seconds: Vec<u64> = model.probes.iter().map(|probe| model.step_untouched(probe)).collect();
    let likely: Vec<u128> = model.probes.iter().map(|probe| ruled_in(model, probe)).collect();
    let quick = sorted(&places, |a, b| seconds[a].cmp(&seconds[b]));
    let probable = sorted(&places, |a, b| likely[b].cmp(&likely[a]));
    let rank = |list: &[usize]| {
        let mut ranks = vec![0; list.len()];
        list.iter().enumerate().for_each(|(rank, place)| ranks[*place] = rank);
        ranks
    };
    match rule {
        Rule::CheapestFirst => quick,
        Rule::MostLikelyFirst => probable,
        Rule::QuickAndProbable => {
            let (by_seconds, by_likelihood) = (rank(&quick), rank(&probable));
            sorted(&places, |a, b| (by_seconds[a] + by_likelihood[a]).cmp(&(by_seconds[b] + by_likelihood[b])))
        }
        Rule::LikelihoodPerSecond => sorted(&places, |a, b| {
            let cross = |one: usize, other: usize| likely[one] * u128::from(seconds[other].max(1));
            cross(b, a).cmp(&cross(a, b))
        }),
    }
}

/// Sorted by a comparison, ties by place, which is by id.
fn sorted(places: &[usize], compare: impl Fn(usize, usize) -> std::cmp::Ordering) -> Vec<usize> {
    let mut list = places.to_vec();
    list.sort_by(|a, b| compare(*a, *b).then(a.cmp(b)));
    list
}

/// Weight of the causes that the answer of a sound machine excludes; without "none of these", of all causes but those
/// of the answer that leaves most of them.
fn ruled_in(model: &Model, probe: &Probe) -> u128 {
    let none = model.units.iter().position(|unit| unit.none);
    let sound = match none {
        Some(unit) => probe.answers[unit],
        None => {
            let left = |bit: usize| probe.answers.iter().filter(|answers| *answers >> bit & 1 == 1).count();
            let most = (0..probe.outcomes.len()).rev().max_by_key(|bit| left(*bit)).unwrap_or(0);
            1 << most
        }
    };
    let excluded = model.units.iter().zip(&probe.answers).filter(|(_, answers)| **answers & sound == 0);
    excluded.map(|(unit, _)| unit.weight).sum()
}
