//! The plan of one fault: the order of checks with the least expected seconds, proved or with a certified gap.

mod bounds;
mod certificate;
mod choice;
mod compile;
mod decimal;
mod deepen;
mod dominance;
mod grow;
mod hash;
mod instance;
mod leftover;
mod missing;
mod model;
mod orders;
mod posterior;
mod problem;
mod progress;
mod proof;
mod prove;
mod recheck;
mod rest;
mod results;
mod rollout;
mod search;
mod sensitivity;
mod set;
mod solve;
mod state;
mod tree;
mod validate;
pub mod verify;
mod wide;

pub use certificate::{Certificate, Extra};
pub use instance::{Instance, read_instance, solve_instance};
pub use missing::{Missing, missing_check};
pub use orders::{Plain, Rule, plain_orders};
pub use posterior::{WayBack, posterior, ways_back};
pub use problem::{Access, Cause, Check, Outcome, PlanError, Problem, Repair, States, Task, Then};
pub use progress::{Due, Move, Progress};
pub use proof::{Because, Claim, Pair, Pairs, Proof, Taken};
pub use prove::{MOST_CLAIMS, MOST_NUMBERS, prove};
pub use recheck::{Recheck, recheck};
pub use rest::{Next, Why, next, weights_left};
pub use results::{Group, Spread, Times, answers, groups, times};
pub use sensitivity::{Margin, Reach, margins, margins_within};
pub use solve::{Options, Plan, solve, too_large};
pub use tree::{CheckStep, Left, Node, Step, Tree, Way};

#[cfg(test)]
mod tests;
