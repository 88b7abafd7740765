//! From a problem to its plan: exact within the budget, otherwise the best tree found with a certified gap.

use num_rational::Ratio;

use super::certificate::Certificate;
use super::grow::{Policy, grow};
use super::model::Model;
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
    /// No tree is expected to take fewer seconds than this. Equal to `expected` when `exact`; otherwise it is the
    /// bound of the certificate.
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
        return Ok(finish(problem, &model, tree, false, 0));
    }
    let mut search = Search::new(&model, options.nodes.unwrap_or_else(|| default_nodes(&model)));
    let exact = matches!(search_all(&model, &mut search), Found::Exact(_));
    let nodes = search.nodes;
    let mut policy = Best { model: &model, search: &search, rollout: Rollout::new(&model) };
    let tree = grow(problem, &model, &mut policy)?;
    Ok(finish(problem, &model, tree, exact, nodes))
}

/// Budget by size: about the same effort for every fault.
fn default_nodes(model: &Model) -> u64 {
    let units = model.units.len().max(1) as u64;
    let each = units * units * (model.probes.len().max(1) as u64);
    (600_000_000 / each).clamp(300, 100_000)
}

fn finish(problem: &Problem, model: &Model, tree: Tree, exact: bool, nodes: u64) -> Plan {
    let whole = model.total.max(1);
    let cost = tree.cost(problem);
    let expected = Ratio::new(cost, whole);
    let certificate = Certificate::new(problem, model, if exact { 10 } else { 300 });
    let lower_bound = if exact { expected } else { certificate.bound.min(expected) };
    let exact = exact || lower_bound == expected;
    Plan { tree, expected, lower_bound, exact, nodes, certificate, assumed_equal: model.assumed_equal }
}

/// Solves what follows every answer to the pinned checks.
fn search_all(model: &Model, search: &mut Search<'_>) -> Found {
    let (mut sum, mut spent) = (0, false);
    let mut open = vec![(model.root(), 0)];
    while let Some((state, pinned)) = open.pop() {
        let Some(place) = model.pinned.get(pinned) else {
            match search.solve(model.settle(state), u128::MAX >> 2, None) {
                Found::Exact(cost) => sum += cost,
                Found::Over(cost) | Found::Spent(cost) => (sum, spent) = (sum + cost, true),
            }
            continue;
        };
        if open.len() > super::grow::MOST_NODES {
            return Found::Spent(sum);
        }
        let probe = &model.probes[*place];
        sum += model.mass(&state) * u128::from(model.step(probe, &state));
        let branches = model.branches(probe, &state).filter(|branch| !branch.exit);
        open.extend(branches.map(|branch| (branch.state, pinned + 1)));
    }
    if spent { Found::Spent(sum) } else { Found::Exact(sum) }
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
