//! What must hold for every problem.

use super::make::{Dice, random};
use crate::reason::plan::*;

fn plan(problem: &Problem) -> Plan {
    solve(problem, &Options::default()).unwrap()
}

/// The same problem with every list in another order.
fn shuffled(problem: &Problem, dice: &mut Dice) -> Problem {
    let mut order = |len: usize| {
        let mut order: Vec<usize> = (0..len).collect();
        dice.shuffle(&mut order);
        order
    };
    let (causes, repairs) = (order(problem.causes.len()), order(problem.repairs.len()));
    let (checks, accesses) = (order(problem.checks.len()), order(problem.accesses.len()));
    let tasks = order(problem.tasks.len());
    let place = |order: &[usize], old: usize| order.iter().position(|at| *at == old).unwrap();
    let all = |order: &[usize], old: &[usize]| old.iter().rev().map(|at| place(order, *at)).collect::<Vec<_>>();
    let check = |old: &Check| {
        let mut new = old.clone();
        (new.accesses, new.make_safe) = (all(&accesses, &old.accesses), all(&tasks, &old.make_safe));
        new.after = all(&checks, &old.after);
        for outcome in &mut new.outcomes {
            if let Then::Leaves(list) = &mut outcome.then {
                *list = all(&causes, list);
            }
        }
        new.outcomes.reverse();
        let last = old.outcomes.len().wrapping_sub(1);
        new.cures = old.cures.map(|(repair, outcome)| (place(&repairs, repair), last - outcome));
        new
    };
    let access = |old: &Access| Access { needs: all(&accesses, &old.needs), ..old.clone() };
    let cause = |old: &Cause| Cause { repair: place(&repairs, old.repair), ..old.clone() };
    Problem {
        causes: causes.iter().map(|at| cause(&problem.causes[*at])).collect(),
        repairs: repairs.iter().map(|at| problem.repairs[*at].clone()).collect(),
        checks: checks.iter().map(|at| check(&problem.checks[*at])).collect(),
        accesses: accesses.iter().map(|at| access(&problem.accesses[*at])).collect(),
        tasks: tasks.iter().map(|at| problem.tasks[*at].clone()).collect(),
        ..problem.clone()
    }
}

/// The checks of a tree by id and answer, in walking order.
fn outline(problem: &Problem, tree: &Tree, node: usize) -> String {
    match &tree.nodes[node].step {
        Step::Check(step) => {
            let check = &problem.checks[step.check];
            let mut answers: Vec<String> = step
                .answers
                .iter()
                .map(|(outcome, to)| format!("{}:{}", check.outcomes[*outcome].label, outline(problem, tree, *to)))
                .collect();
            answers.sort();
            format!("{}({})", check.id, answers.join(","))
        }
        Step::Repair { repair, .. } => problem.repairs[*repair].id.clone(),
        Step::Group { order, .. } => order.iter().map(|repair| problem.repairs[*repair].id.as_str()).collect(),
        Step::None => "none".into(),
        Step::Exit(fault) => format!("exit {fault}"),
    }
}

#[test]
fn the_order_of_the_lists_changes_nothing() {
    let mut dice = Dice::new(77);
    let mut pinned = 0;
    for seed in 6_000..6_300 {
        let mut problem = random(seed, 7);
        // Pinned checks are taken in the order of the list, so two of them are another problem when shuffled.
        let first = problem.checks.iter().position(|check| check.first);
        problem
            .checks
            .iter_mut()
            .enumerate()
            .for_each(|(at, check)| check.first = Some(at) == first && check.after.is_empty());
        pinned += usize::from(first.is_some());
        let other = shuffled(&problem, &mut dice);
        let (one, two) = (plan(&problem), plan(&other));
        assert_eq!((one.expected, one.nodes), (two.expected, two.nodes), "seed {seed}");
        assert_eq!(outline(&problem, &one.tree, 0), outline(&other, &two.tree, 0), "seed {seed}");
        assert_eq!(one.certificate.bound, two.certificate.bound, "seed {seed}");
    }
    assert!(pinned > 10);
}

#[test]
fn doubling_a_cost_never_lowers_the_optimum() {
    for seed in 7_000..7_150 {
        let problem = random(seed, 6);
        let before = plan(&problem).expected;
        for at in 0..problem.checks.len() {
            let mut dearer = problem.clone();
            dearer.checks[at].seconds *= 2;
            assert!(plan(&dearer).expected >= before, "seed {seed}");
        }
        for at in 0..problem.accesses.len() {
            let mut dearer = problem.clone();
            dearer.accesses[at].seconds *= 2;
            assert!(plan(&dearer).expected >= before, "seed {seed}");
        }
    }
}

/// Every two causes, and every cause and "none of these", are told apart by some check.
fn separable(problem: &Problem) -> bool {
    let parts = |check: &Check, cause: usize| -> Vec<bool> {
        let leaves = |then: &Then| matches!(then, Then::Leaves(list) if list.contains(&cause));
        let none = cause == problem.causes.len();
        check.outcomes.iter().map(|outcome| if none { outcome.none } else { leaves(&outcome.then) }).collect()
    };
    let apart =
        |check: &Check, a: usize, b: usize| parts(check, a).iter().zip(parts(check, b)).all(|(a, b)| !(*a && b));
    let last = problem.causes.len() + usize::from(problem.none_of_these.is_some());
    (0..last).all(|a| (0..a).all(|b| problem.checks.iter().any(|check| apart(check, a, b))))
}

#[test]
fn removing_an_unpinned_check_never_lowers_the_optimum() {
    let mut removed = 0;
    for seed in 8_000..9_500 {
        let mut problem = random(seed, 5);
        // `after` would make another check free to be taken.
        problem.checks.iter_mut().for_each(|check| check.after.clear());
        if !separable(&problem) {
            continue;
        }
        let before = plan(&problem).expected;
        for at in 0..problem.checks.len() {
            let mut less = problem.clone();
            if !less.checks.remove(at).first && separable(&less) {
                removed += 1;
                assert!(plan(&less).expected >= before, "seed {seed}");
            }
        }
    }
    assert!(removed > 100, "{removed}");
}
