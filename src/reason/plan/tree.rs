//! The plan as a tree: what to do, what each answer leads to, and what is left at every end.

use num_rational::Ratio;

use super::problem::{Problem, Then};

/// A decision tree; node 0 is the start, and every node stands after the one that leads to it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tree {
    /// The nodes.
    pub nodes: Vec<Node>,
    /// Sum of all weights, in the units of [`Node::weight`].
    pub total: u128,
}

/// One place in the tree.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Node {
    /// Likelihood of coming here, times [`Tree::total`].
    pub weight: u128,
    /// What happens here.
    pub step: Step,
}

/// What happens at a node.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Step {
    /// A check is taken.
    Check(CheckStep),
    /// The search has ended on one repair.
    Repair {
        /// Position of the repair.
        repair: usize,
        /// What is still possible.
        left: Vec<Left>,
        /// No answer on the way left only causes with this repair: it was inferred, not seen.
        by_elimination: bool,
        /// The last answer was that of a swap that cured: the repair is done.
        cured: bool,
    },
    /// No check can tell these apart: the repairs are tried in this order, and then it is none of these.
    Group {
        /// Positions of the repairs, first to try first.
        order: Vec<usize>,
        /// What is still possible.
        left: Vec<Left>,
    },
    /// None of the causes: ask for help.
    None,
    /// Another fault, by the caller's number.
    Exit(usize),
}

/// A check and everything to be done for it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CheckStep {
    /// Position of the check.
    pub check: usize,
    /// Make-safe tasks to do first, by position.
    pub make_safe: Vec<usize>,
    /// State to bring the machine into, when it is not in it.
    pub change_to: Option<usize>,
    /// Accesses to open, by position, each after those it needs.
    pub opens: Vec<usize>,
    /// Seconds of all of it.
    pub seconds: u64,
    /// Answers still possible here, and every answer that leads to another fault: (position of the answer, node).
    pub answers: Vec<(usize, usize)>,
}

/// One cause still possible at an end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Left {
    /// Position of the cause; `None`: none of these.
    pub cause: Option<usize>,
    /// Its part of the node's weight.
    pub weight: u128,
}

/// One way through the tree that one cause can take.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Way {
    /// Position of the cause; `None`: none of these.
    pub cause: Option<usize>,
    /// How likely, times [`Tree::total`].
    pub weight: u128,
    /// Seconds until it is found.
    pub find: u64,
    /// Seconds until it is found and repaired.
    pub repair: u64,
    /// The node where it ends.
    pub end: usize,
}

impl Tree {
    /// Seconds spent on the way to each node, its own step not included.
    pub fn elapsed(&self) -> Vec<u64> {
        let mut elapsed = vec![0; self.nodes.len()];
        for (at, node) in self.nodes.iter().enumerate() {
            if let Step::Check(step) = &node.step {
                step.answers.iter().for_each(|(_, to)| elapsed[*to] = elapsed[at] + step.seconds);
            }
        }
        elapsed
    }

    /// Weight of all nodes at which a check is taken.
    pub fn visits(&self, check: usize) -> u128 {
        let takes = |node: &&Node| matches!(&node.step, Step::Check(step) if step.check == check);
        self.nodes.iter().filter(takes).map(|node| node.weight).sum()
    }

    /// Every cause's ways, with their times.
    pub fn ways(&self, problem: &Problem) -> Vec<Way> {
        let elapsed = self.elapsed();
        let mut ways = Vec::new();
        for (end, node) in self.nodes.iter().enumerate() {
            match &node.step {
                Step::Repair { repair, left, cured, .. } => {
                    let seconds = if *cured { 0 } else { problem.repairs[*repair].seconds };
                    ways.extend(left.iter().map(|left| Way {
                        cause: left.cause,
                        weight: left.weight,
                        find: elapsed[end],
                        repair: elapsed[end] + seconds,
                        end,
                    }));
                }
                Step::Group { order, left } => ways.extend(left.iter().map(|left| {
                    let find = elapsed[end] + tried(problem, order, left.cause);
                    Way { cause: left.cause, weight: left.weight, find, repair: find, end }
                })),
                Step::None | Step::Exit(_) => {
                    ways.push(Way { cause: None, weight: node.weight, find: elapsed[end], repair: elapsed[end], end })
                }
                Step::Check(_) => {}
            }
        }
        ways
    }

    /// Expected seconds to find each cause, given that it is the one; "none of these" last.
    pub fn mean_find(&self, problem: &Problem) -> Vec<Ratio<u128>> {
        let mut shares: Vec<Vec<(usize, Ratio<u128>)>> = vec![Vec::new(); self.nodes.len()];
        let none = problem.none_of_these.map(|_| problem.causes.len());
        shares[0] = (0..problem.causes.len()).chain(none).map(|cause| (cause, Ratio::from(1))).collect();
        let mut means = vec![Ratio::from(0); problem.causes.len() + 1];
        for (at, node) in self.nodes.iter().enumerate() {
            let here = std::mem::take(&mut shares[at]);
            match &node.step {
                Step::Check(step) => {
                    for (cause, share) in here {
                        means[cause] += share * Ratio::from(u128::from(step.seconds));
                        let answers: Vec<usize> = step
                            .answers
                            .iter()
                            .filter(|(outcome, _)| gives(problem, step.check, *outcome, cause))
                            .map(|(_, to)| *to)
                            .collect();
                        for to in &answers {
                            shares[*to].push((cause, share / Ratio::from(answers.len() as u128)));
                        }
                    }
                }
                Step::Group { order, .. } => {
                    for (cause, share) in here {
                        let tried = tried(problem, order, (cause < problem.causes.len()).then_some(cause));
                        means[cause] += share * Ratio::from(u128::from(tried));
                    }
                }
                Step::Repair { .. } | Step::None | Step::Exit(_) => {}
            }
        }
        means
    }

    /// Weight times seconds over all checks and repairs tried; divide by [`Tree::total`] for the expected seconds.
    pub fn cost(&self, problem: &Problem) -> u128 {
        self.ways(problem).iter().map(|way| way.weight * u128::from(way.find)).sum()
    }
}

/// Whether a cause may give an answer; `causes.len()` is "none of these".
pub(super) fn gives(problem: &Problem, check: usize, outcome: usize, cause: usize) -> bool {
    let outcome = &problem.checks[check].outcomes[outcome];
    match &outcome.then {
        _ if cause == problem.causes.len() => outcome.none,
        Then::Leaves(list) => list.contains(&cause),
        Then::Exit(_) => false,
    }
}

/// Seconds of trying repairs until the one that cures, itself included; all of them when none does.
fn tried(problem: &Problem, order: &[usize], cause: Option<usize>) -> u64 {
    let cures = cause.map(|cause| problem.causes[cause].repair);
    let last = order.iter().position(|repair| Some(*repair) == cures).map_or(order.len(), |at| at + 1);
    order[..last].iter().map(|repair| problem.repairs[*repair].seconds).sum()
}

/// The fault an answer leads to, if it does.
pub(super) fn exit(problem: &Problem, check: usize, outcome: usize) -> Option<usize> {
    match problem.checks[check].outcomes[outcome].then {
        Then::Exit(fault) => Some(fault),
        Then::Leaves(_) => None,
    }
}
