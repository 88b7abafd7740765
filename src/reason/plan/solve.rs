//! From a problem to its plan: exact within the budget, otherwise the best tree found with a certified gap.

use num_rational::Ratio;

use super::certificate::Certificate;
use super::deepen::deepen;
use super::grow::{Policy, grow};
use super::leftover;
use super::model::{MOST_PAIRS, Model};
use super::orders::cheaper;
use super::problem::{PlanError, Problem};
use super::rollout::Rollout;
use super::search::{Found, Search};
use super::state::State;
use super::tree::Tree;
use super::wide;

/// How much may be spent. Counted in positions, never in time, so the result is the same on every machine.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Options {
    /// Positions the search may open; by the size of the fault when left out.
    pub nodes: Option<u64>,
}

/// The plan of one fault.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Plan {
    /// What to do.
    pub tree: Tree,
    /// Expected seconds until the cause is found.
    pub expected: Ratio<u128>,
    /// No tree is expected to take fewer seconds than this. Equal to `expected` when `exact`; otherwise the larger of
    /// what the search has proved and the bound of the certificate.
    pub lower_bound: Ratio<u128>,
    /// The tree is proved to be the best.
    pub exact: bool,
    /// Positions the search opened.
    pub nodes: u64,
    /// The bound anyone can check, see [`super::verify`].
    pub certificate: Certificate,
    /// No cause had a weight, so all were taken as equally likely.
    pub assumed_equal: bool,
}

/// Finds the plan of least expected seconds.
///
/// # Errors
/// When the problem has no meaning or is larger than the exact arithmetic, see [`PlanError`].
pub fn solve(problem: &Problem, options: &Options) -> Result<Plan, PlanError> {
    let model = Model::new(problem)?;
    if !model.searchable() {
        let tree = wide::tree(problem, &model)?;
        return Ok(finish(problem, &model, tree, Found::Spent(0), 0));
    }
    let left = (size(&model) > EXACT_SIZE && leftover::applies(&model)).then(|| leftover::bound(&model));
    let left = left.and_then(|bound| Some((bound, leftover::tree(problem, &model)?)));
    if let Some((_, tree)) = left.clone().filter(|(bound, tree)| tree.cost(problem) == *bound) {
        let cost = tree.cost(problem);
        return Ok(finish(problem, &model, tree, Found::Exact(cost), 0));
    }
    let mut search = search_for(&model, options);
    let mut found = search_all(&model, &mut search)?;
    let nodes = search.nodes;
    let mut policy = Best { model: &model, search: &search, rollout: Rollout::new(&model) };
    let mut tree = grow(problem, &model, &mut policy)?;
    if size(&model) > EXACT_SIZE && !matches!(found, Found::Exact(_)) {
        tree = cheaper(problem, &model, tree.cost(problem)).unwrap_or(tree);
    }
    if let (Found::Spent(cost), Some((bound, other))) = (found, left) {
        found = Found::Spent(cost.max(bound));
        tree = if other.cost(problem) < tree.cost(problem) { other } else { tree };
    }
    Ok(finish(problem, &model, tree, found, nodes))
}

/// Why a problem is too large for a search, or for the exact arithmetic; worked out without searching. [`solve`] still
/// answers some of these, with one fixed order of checks.
pub fn too_large(problem: &Problem) -> Option<PlanError> {
    let (causes, checks) = (problem.causes.len(), problem.checks.len());
    if causes.saturating_mul(checks) > 4 * MOST_PAIRS {
        return Some(PlanError::TooLarge("too many causes times checks"));
    }
    match Model::new(problem) {
        Ok(model) if !model.narrow() => Some(PlanError::TooLarge("more than 128 causes that checks treat differently")),
        Ok(model) if !model.searchable() => Some(PlanError::TooLarge("too many checks for so many causes")),
        Ok(_) => None,
        Err(error) => Some(error).filter(|error| matches!(error, PlanError::TooLarge(_))),
    }
}

/// A search with the budget of the options.
pub(super) fn search_for<'a>(model: &'a Model, options: &Options) -> Search<'a> {
    Search::new(model, options.nodes.unwrap_or_else(|| default_nodes(model)))
}

/// Pairs, counted twice, times checks: up to this the search goes straight for the best tree.
const EXACT_SIZE: u64 = 24 * 24 * 40;
/// Work that may be spent on a fault above that size.
const MOST_WORK: u64 = 230_000_000;

fn size(model: &Model) -> u64 {
    let units = model.units.len().max(1) as u64;
    units * units * (model.probes.len().max(1) as u64)
}

/// Budget by size: about the same effort for every fault. Above exact size the work is what counts.
fn default_nodes(model: &Model) -> u64 {
    if size(model) > EXACT_SIZE { u64::MAX } else { (600_000_000 / size(model)).clamp(300, 100_000) }
}

/// Sweeps for the certificate: a proof by search needs no strong one, and a large fault cannot have many.
fn sweeps(model: &Model, exact: bool) -> usize {
    match size(model) {
        _ if exact => 10,
        size if size > EXACT_SIZE => (20_000_000 / size).clamp(20, 60) as usize,
        _ => 300,
    }
}

fn finish(problem: &Problem, model: &Model, tree: Tree, found: Found, nodes: u64) -> Plan {
    let whole = model.total.max(1);
    let (exact, proved) = match found {
        Found::Exact(cost) => (true, cost),
        Found::Over(cost) | Found::Spent(cost) => (false, cost),
    };
    let cost = tree.cost(problem);
    let expected = Ratio::new(cost, whole);
    let certificate = Certificate::new(problem, model, sweeps(model, exact));
    let lower_bound = if exact { expected } else { certificate.bound.max(Ratio::new(proved, whole)).min(expected) };
    let exact = exact || lower_bound == expected;
    Plan { tree, expected, lower_bound, exact, nodes, certificate, assumed_equal: model.assumed_equal }
}

/// Solves what follows every answer to the pinned checks.
pub(super) fn search_all(model: &Model, search: &mut Search<'_>) -> Result<Found, PlanError> {
    let (mut sum, mut spent) = (0, false);
    let mut open = vec![(model.root(), 0)];
    let mut starts = Vec::new();
    while let Some((state, pinned)) = open.pop() {
        let Some(place) = model.pinned.get(pinned) else {
            starts.push(model.settle(state));
            continue;
        };
        if open.len() > super::grow::MOST_NODES {
            return Ok(Found::Spent(sum));
        }
        let probe = &model.probes[*place];
        sum += model.mass(&state) * u128::from(model.step(probe, &state));
        let branches = model.branches(probe, &state).filter(|branch| !branch.exit);
        open.extend(branches.map(|branch| (branch.state, pinned + 1)));
    }
    let count = starts.len() as u64;
    for (at, state) in (0..).zip(starts) {
        // What the earlier ones leave of the work is shared among those to come.
        let until = search.work + MOST_WORK.saturating_sub(search.work) / (count - at);
        let found = if size(model) > EXACT_SIZE {
            deepen(model, search, state, until)?
        } else {
            search.solve(state, u128::MAX >> 2, None)
        };
        match found {
            Found::Exact(cost) => sum += cost,
            Found::Over(cost) | Found::Spent(cost) => (sum, spent) = (sum + cost, true),
        }
    }
    Ok(if spent { Found::Spent(sum) } else { Found::Exact(sum) })
}

/// What the search has solved, and the rollout for the rest.
struct Best<'a, 'b> {
    model: &'a Model,
    search: &'b Search<'a>,
    rollout: Rollout<'a>,
}

impl Policy for Best<'_, '_> {
    fn choose(&mut self, state: &State) -> Result<Option<usize>, PlanError> {
        let state = self.model.settle(*state);
        match self.search.value(&state) {
            Some(_) => Ok(self.search.best(&state).map(usize::from)),
            None => self.rollout.ahead(&state, &|state| self.search.value(state)),
        }
    }
}
