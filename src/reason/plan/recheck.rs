//! A plan looked at a second time: what of its lower bound holds without trusting the search.

use num_rational::Ratio;

use super::problem::{PlanError, Problem};
use super::proof::Proof;
use super::prove::prove;
use super::solve::{Options, Plan};
use super::verify;

/// What the verifier has accepted.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recheck {
    /// The proof, where there is one that proves more than the certificate.
    pub proof: Option<Proof>,
    /// No tree is expected to take fewer seconds: by the proof, or by the certificate of the plan.
    pub bound: Ratio<u128>,
    /// The bound is all that the plan says of itself.
    pub whole: bool,
    /// The tree takes the seconds that the plan says, walked with every cause.
    pub tree: bool,
}

/// Searches again, writes down why nothing is better, and has it verified together with the tree and the certificate.
///
/// # Errors
/// As for [`super::solve`].
pub fn recheck(problem: &Problem, plan: &Plan, options: &Options) -> Result<Recheck, PlanError> {
    let certified = verify::lower_bound(problem, &plan.certificate).unwrap_or_default();
    let proof = if certified < plan.lower_bound { prove(problem, options)? } else { None };
    let proved = proof.as_ref().and_then(|proof| verify::proved_bound(problem, proof).ok()).unwrap_or_default();
    let bound = certified.max(proved);
    Ok(Recheck {
        proof: proof.filter(|_| proved > certified),
        bound,
        whole: bound >= plan.lower_bound,
        tree: verify::tree_cost(problem, &plan.tree) == Ok(plan.expected),
    })
}
