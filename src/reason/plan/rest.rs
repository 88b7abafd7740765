//! The plan carried on after some moves: the question that is left is a problem of its own, so it has the same solver.
//!
//! What is open, made safe or known costs nothing any more, and a check that cannot be done is not there. The script of the
//! pages does the same; a test holds them together.

use num_rational::Ratio;

use super::compile::gcd;
use super::problem::{Access, Cause, Check, Outcome, PlanError, Problem, States, Task, Then};
use super::progress::{Due, Move, Progress, leaves};
use super::solve::{Options, solve};
use super::tree::Step;

/// What comes next after some moves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Next {
    /// A check, with what is to be done for it.
    Check {
        /// Position of the check.
        check: usize,
        /// What is to be done for it here.
        due: Due,
        /// Expected seconds from here until the cause is found.
        expected: Ratio<u128>,
        /// Proved to be the least.
        exact: bool,
    },
    /// A repair.
    Repair {
        /// Position of the repair.
        repair: usize,
        /// Causes it is for, of those still possible.
        causes: Vec<usize>,
        /// Some answer left only causes with this repair; otherwise it is inferred.
        shown: bool,
        /// A swap has made it already.
        cured: bool,
        /// Where no check tells the causes apart: all repairs, in the order to try them.
        in_turn: Vec<usize>,
    },
    /// Another fault, by the caller's number.
    Exit(usize),
    /// A repair has cured.
    Cured(usize),
    /// Somebody has to be asked.
    Escalate(Why),
}

/// Why somebody has to be asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Why {
    /// Only "none of these" is left; checks that are always taken first are not asked any more.
    NoneOfThese,
    /// The answers and repairs leave nothing.
    Contradiction,
    /// Only a check that cannot be done now would tell apart what is left.
    Skipped,
}

/// Weights of the causes still possible, whole and without a common divisor; and that of "none of these".
///
/// # Errors
/// When they have too many digits.
pub fn weights_left(problem: &Problem, progress: &Progress) -> Result<(Vec<(usize, u128)>, u128), PlanError> {
    let too_large = || PlanError::TooLarge("the weights have too many digits");
    let lcm = |whole: u128, parts: u128| (whole / gcd(whole, parts)).checked_mul(parts);
    let whole = progress.causes.iter().try_fold(1, |whole, cause| lcm(whole, progress.parts[*cause]));
    let whole = whole.ok_or_else(too_large)?;
    let scaled =
        |cause: &usize| Some((*cause, problem.causes[*cause].weight.checked_mul(whole / progress.parts[*cause])?));
    let causes: Option<Vec<(usize, u128)>> = progress.causes.iter().map(scaled).collect();
    let none = problem.none_of_these.filter(|_| progress.none).unwrap_or(0).checked_mul(whole);
    let (mut causes, none) = causes.zip(none).ok_or_else(too_large)?;
    let common = causes.iter().fold(none, |all, (_, weight)| gcd(all, *weight)).max(1);
    causes.iter_mut().for_each(|(_, weight)| *weight /= common);
    Ok((causes, none / common))
}

/// The question that is left after some moves, and the positions of its checks in the whole one.
fn rest(problem: &Problem, progress: &Progress) -> Result<(Problem, Vec<usize>), PlanError> {
    let (weights, none) = weights_left(problem, progress)?;
    let out = progress.blocked(problem);
    let open = |at: &usize| !progress.taken.contains(at) && !out.contains(at);
    let checks: Vec<usize> = (0..problem.checks.len()).filter(open).collect();
    let cause = |(at, weight): &(usize, u128)| Cause { weight: *weight, ..problem.causes[*at].clone() };
    let free = |done: bool, seconds: u64| if done { 0 } else { seconds };
    let access = |(at, access): (usize, &Access)| Access {
        seconds: free(progress.open.contains(&at), access.seconds),
        ..access.clone()
    };
    let task =
        |(at, task): (usize, &Task)| Task { seconds: free(progress.safe.contains(&at), task.seconds), ..task.clone() };
    let rest = Problem {
        causes: weights.iter().map(cause).collect(),
        repairs: problem.repairs.clone(),
        none_of_these: progress.none.then_some(none),
        checks: checks.iter().map(|at| check_left(problem, progress, &checks, *at)).collect(),
        accesses: problem.accesses.iter().enumerate().map(access).collect(),
        tasks: problem.tasks.iter().enumerate().map(task).collect(),
        states: States { start: progress.at, ..problem.states.clone() },
    };
    Ok((rest, checks))
}

fn check_left(problem: &Problem, progress: &Progress, checks: &[usize], at: usize) -> Check {
    let check = &problem.checks[at];
    let outcome = |outcome: &Outcome| {
        let left = progress.causes.iter().enumerate().filter(|(_, cause)| leaves(outcome, **cause));
        let then = match outcome.then {
            Then::Exit(fault) => Then::Exit(fault),
            Then::Leaves(_) => Then::Leaves(left.map(|(nth, _)| nth).collect()),
        };
        Outcome { then, ..outcome.clone() }
    };
    Check {
        after: check.after.iter().filter_map(|earlier| checks.iter().position(|other| other == earlier)).collect(),
        outcomes: check.outcomes.iter().map(outcome).collect(),
        ..check.clone()
    }
}

/// What comes next after some moves.
///
/// # Errors
/// As for [`solve`].
pub fn next(problem: &Problem, moves: &[Move], options: &Options) -> Result<Next, PlanError> {
    let progress = Progress::of(problem, moves);
    if let Some(repair) = progress.cured {
        return Ok(Next::Cured(repair));
    }
    if let Some(fault) = progress.exit {
        return Ok(Next::Exit(fault));
    }
    if progress.causes.is_empty() {
        return Ok(Next::Escalate(if progress.none { Why::NoneOfThese } else { Why::Contradiction }));
    }
    let (left, checks) = rest(problem, &progress)?;
    let plan = solve(&left, options)?;
    Ok(match plan.tree.nodes.first().map(|node| &node.step) {
        Some(Step::Check(step)) => {
            let check = checks[step.check];
            Next::Check { check, due: progress.due(problem, check), expected: plan.expected, exact: plan.exact }
        }
        Some(Step::Repair { repair, .. }) => repair_next(problem, &progress, &[*repair]),
        Some(Step::Group { order, .. }) if !skipped_tells(problem, &progress) => repair_next(problem, &progress, order),
        Some(Step::Group { .. }) => Next::Escalate(Why::Skipped),
        Some(Step::None | Step::Exit(_)) | None => Next::Escalate(Why::NoneOfThese),
    })
}

fn repair_next(problem: &Problem, progress: &Progress, order: &[usize]) -> Next {
    let repair = order[0];
    let cured = progress.swapped(problem) == Some(repair);
    let mends = |cause: &usize| problem.causes[*cause].repair == repair;
    Next::Repair {
        repair,
        causes: progress.causes.iter().copied().filter(mends).collect(),
        shown: cured || order.len() == 1 && progress.given.iter().any(|given| shows(problem, *given, repair)),
        cured,
        in_turn: if order.len() > 1 { order.to_vec() } else { Vec::new() },
    }
}

/// Whether an answer leaves only causes with this repair.
fn shows(problem: &Problem, (check, outcome): (usize, usize), repair: usize) -> bool {
    let outcome = &problem.checks[check].outcomes[outcome];
    let Then::Leaves(causes) = &outcome.then else { return false };
    let none = outcome.none && problem.none_of_these.is_some();
    !none && !causes.is_empty() && causes.iter().all(|cause| problem.causes[*cause].repair == repair)
}

/// Some check that cannot be done now has an answer that leaves some of what is left, but not all.
fn skipped_tells(problem: &Problem, progress: &Progress) -> bool {
    let tells = |outcome: &Outcome| {
        let causes = progress.causes.iter().map(|cause| leaves(outcome, *cause));
        let kept: Vec<bool> = causes.chain(progress.none.then_some(outcome.none)).collect();
        kept.contains(&true) && kept.contains(&false)
    };
    progress.blocked(problem).iter().any(|check| problem.checks[*check].outcomes.iter().any(tells))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reason::plan::tests::make;

    #[test]
    fn carried_on_along_the_tree_the_plan_stays_the_same() {
        let mut met = 0;
        for seed in 0..400 {
            let mut problem = make::random(seed, 6);
            // Where everything left weighs nothing, the rest is planned as equally likely and the tree is not.
            problem.causes.iter_mut().for_each(|cause| cause.weight = cause.weight.max(1));
            problem.none_of_these = problem.none_of_these.map(|weight| weight.max(1));
            let Ok(plan) = solve(&problem, &Options::default()) else { continue };
            let mut open = vec![(0, Vec::new())];
            while let Some((at, moves)) = open.pop() {
                let next = next(&problem, &moves, &Options::default()).unwrap();
                met += 1;
                match (&plan.tree.nodes[at].step, &next) {
                    (Step::Check(step), Next::Check { check, due, .. }) => {
                        assert_eq!((step.check, step.seconds), (*check, due.seconds), "{seed} {moves:?}");
                        assert_eq!((&step.opens, &step.make_safe), (&due.opens, &due.make_safe), "{seed} {moves:?}");
                        for (outcome, to) in &step.answers {
                            let answer = Move::Answer { check: step.check, outcome: *outcome };
                            open.push((*to, moves.iter().copied().chain([answer]).collect()));
                        }
                    }
                    (
                        Step::Repair { repair, by_elimination, cured, .. },
                        Next::Repair { repair: found, shown, cured: done, .. },
                    ) => {
                        assert_eq!((repair, !by_elimination, cured), (found, *shown, done), "{seed} {moves:?}");
                    }
                    (Step::Group { order, .. }, Next::Repair { repair, .. }) => assert_eq!(order[0], *repair),
                    (Step::Exit(fault), Next::Exit(found)) => assert_eq!(fault, found),
                    // Nobody is sent through the other pinned checks when no listed cause is left.
                    (Step::None | Step::Check(_), Next::Escalate(Why::NoneOfThese)) => {
                        assert!(Progress::of(&problem, &moves).causes.is_empty(), "{seed} {moves:?}");
                    }
                    (step, next) => panic!("{seed} {moves:?}: {step:?} against {next:?}"),
                }
            }
        }
        assert!(met > 1_000, "{met}");
    }

    #[test]
    fn what_cannot_be_done_is_never_guessed_around() {
        let mut problem = make::causes(&[9, 1]);
        problem.none_of_these = Some(0);
        make::confirming(&mut problem, &[2, 1]);
        let skip = |check| Move::Skip { check };
        let options = Options::default();
        assert!(matches!(next(&problem, &[skip(0)], &options), Ok(Next::Check { check: 1, .. })));
        assert_eq!(next(&problem, &[skip(0), skip(1)], &options), Ok(Next::Escalate(Why::Skipped)));
        let not = |repair| Move::Tried { repair, cured: false };
        assert_eq!(next(&problem, &[not(0), not(1)], &options), Ok(Next::Escalate(Why::NoneOfThese)));
        problem.none_of_these = None;
        assert_eq!(next(&problem, &[not(0), not(1)], &options), Ok(Next::Escalate(Why::Contradiction)));
    }
}
