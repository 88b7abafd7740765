//! Checks that are sometimes wrong: what their answers leave likely, and the way back when a repair did not cure.
//!
//! The plan treats an answer as right; this is what it is worth. A machine that should give one answer gives another
//! with the stated rate, each of the others alike. Figures for people, so plain floating point; only the four basic
//! operations are used, which are the same everywhere.

use super::problem::Problem;
use super::tree::{Step, Tree, gives};

/// Likelihood of each cause after some answers, "none of these" last; given as (check, answer) by position. All zero
/// when the answers contradict each other.
pub fn posterior(problem: &Problem, answers: &[(usize, usize)]) -> Vec<f64> {
    let mut weights = weights(problem);
    for (check, outcome) in answers {
        (0..weights.len()).for_each(|cause| weights[cause] *= chance(problem, *check, *outcome, cause));
    }
    let total: f64 = weights.iter().sum();
    if total > 0.0 { weights.iter().map(|weight| weight / total).collect() } else { weights }
}

fn weights(problem: &Problem) -> Vec<f64> {
    let mut weights: Vec<f64> = problem.causes.iter().map(|cause| cause.weight as f64).collect();
    weights.push(problem.none_of_these.unwrap_or(0) as f64);
    if weights.iter().sum::<f64>() == 0.0 {
        weights[..problem.causes.len()].fill(1.0);
    }
    weights
}

/// How likely a cause is to give an answer.
fn chance(problem: &Problem, check: usize, outcome: usize, cause: usize) -> f64 {
    let outcomes = &problem.checks[check].outcomes;
    let right: Vec<usize> = (0..outcomes.len()).filter(|at| gives(problem, check, *at, cause)).collect();
    let others = outcomes.len().saturating_sub(1).max(1) as f64;
    let each = |should: &usize| {
        let wrong = f64::from(outcomes[*should].wrong_per_million.min(1_000_000)) / 1e6;
        if *should == outcome { 1.0 - wrong } else { wrong / others }
    };
    right.iter().map(each).sum::<f64>() / (right.len().max(1) as f64)
}

/// Where to go when the repair at an end did not cure.
#[derive(Debug, Clone, PartialEq)]
pub struct WayBack {
    /// The node where the path ended.
    pub end: usize,
    /// How likely the end's causes are there, given every answer on the way.
    pub right: f64,
    /// The node of the check whose answer was most likely wrong.
    pub check: usize,
    /// The answer it should have given, by position.
    pub answer: usize,
    /// The node to go on from.
    pub to: usize,
    /// How likely the causes there are, given every answer on the way.
    pub there: f64,
}

/// The ways back from every end that stands behind an answer which may be wrong.
pub fn ways_back(problem: &Problem, tree: &Tree) -> Vec<WayBack> {
    let mut came: Vec<Option<(usize, usize)>> = vec![None; tree.nodes.len()];
    for (at, node) in tree.nodes.iter().enumerate() {
        if let Step::Check(step) = &node.step {
            step.answers.iter().for_each(|(outcome, to)| came[*to] = Some((at, *outcome)));
        }
    }
    let ends =
        (0..tree.nodes.len()).filter(|at| matches!(tree.nodes[*at].step, Step::Repair { .. } | Step::Group { .. }));
    ends.filter_map(|end| way_back(problem, tree, &came, end)).collect()
}

fn way_back(problem: &Problem, tree: &Tree, came: &[Option<(usize, usize)>], end: usize) -> Option<WayBack> {
    let mut path = Vec::new();
    let mut at = end;
    while let Some((from, outcome)) = came[at] {
        path.push((from, outcome));
        at = from;
    }
    let check = |node: usize| match &tree.nodes[node].step {
        Step::Check(step) => Some(step),
        _ => None,
    };
    let given: Vec<(usize, usize)> =
        path.iter().filter_map(|(node, outcome)| Some((check(*node)?.check, *outcome))).collect();
    let likely = posterior(problem, &given);
    let of = |node: usize| causes(problem, tree, node).into_iter().map(|cause| likely[cause]).sum::<f64>();
    let mut best: Option<WayBack> = None;
    for (node, outcome) in &path {
        for (answer, to) in check(*node)?.answers.iter().filter(|(answer, _)| answer != outcome) {
            let there = of(*to);
            if there > best.as_ref().map_or(0.0, |best| best.there) {
                best = Some(WayBack { end, right: of(end), check: *node, answer: *answer, to: *to, there });
            }
        }
    }
    best
}

/// Causes left at the ends below a node; `causes.len()` is "none of these".
fn causes(problem: &Problem, tree: &Tree, node: usize) -> Vec<usize> {
    let (mut open, mut list) = (vec![node], Vec::new());
    while let Some(at) = open.pop() {
        match &tree.nodes[at].step {
            Step::Check(step) => open.extend(step.answers.iter().map(|(_, to)| *to)),
            Step::Repair { left, .. } | Step::Group { left, .. } => {
                list.extend(left.iter().map(|left| left.cause.unwrap_or(problem.causes.len())));
            }
            Step::None => list.push(problem.causes.len()),
            Step::Exit(_) => {}
        }
    }
    list.sort_unstable();
    list.dedup();
    list
}
