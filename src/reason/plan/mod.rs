//! The plan of one fault: the order of checks with the least expected seconds, proved or with a certified gap.

mod bounds;
mod certificate;
mod decimal;
mod dominance;
mod grow;
mod hash;
mod instance;
mod model;
mod problem;
mod rollout;
mod search;
mod set;
mod solve;
mod state;
mod tree;
mod validate;
pub mod verify;
mod wide;

pub use certificate::{Certificate, Extra};
pub use instance::solve_instance;
pub use problem::{Access, Cause, Check, Outcome, PlanError, Problem, Repair, States, Task, Then};
pub use solve::{Options, Plan, solve};
pub use tree::{CheckStep, Left, Node, Step, Tree, Way};

#[cfg(test)]
mod tests;
