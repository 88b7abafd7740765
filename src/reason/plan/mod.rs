//! The plan of one fault: the order of checks with the least expected minutes.

mod bounds;
mod dominance;
mod hash;
mod model;
mod problem;
mod search;
mod set;
mod state;
mod validate;

pub use problem::{Access, Cause, Check, Outcome, PlanError, Problem, Repair, States, Task, Then};

pub fn try_exact(problem: &Problem, budget: u64) -> (bool, u64) {
    let model = model::Model::new(problem).unwrap();
    let mut search = search::Search::new(&model, budget);
    let root = model.settle(model.root());
    let found = search.solve(root, u128::MAX >> 2, None);
    (matches!(found, search::Found::Exact(_)), search.nodes)
}
