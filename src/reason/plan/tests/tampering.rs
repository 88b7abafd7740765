//! The verifier refuses what was made better than it is.

use super::make::random;
use crate::reason::plan::*;

fn plans() -> impl Iterator<Item = (Problem, Plan)> {
    (5_000..5_200).map(|seed| {
        let problem = random(seed, 7);
        let plan = solve(&problem, &Options::default()).unwrap();
        (problem, plan)
    })
}

#[test]
fn certificates_that_promise_more_are_refused() {
    let mut tried = [0; 5];
    for (problem, plan) in plans() {
        let good = &plan.certificate;
        let refused = |change: &dyn Fn(&mut Certificate), kind: usize, tried: &mut [usize; 5]| {
            let mut bad = good.clone();
            change(&mut bad);
            tried[kind] += 1;
            assert!(verify::lower_bound(&problem, &bad).is_err(), "kind {kind}");
        };
        if let Some(at) = good.pairs.iter().position(|pair| pair.2 > 0) {
            // Worth more than was given; with the gift it would need; twice; and of units that no check tells apart.
            refused(&|bad| bad.pairs[at].2 += 1 << 30, 0, &mut tried);
            refused(&|bad| bad.gifts.iter_mut().for_each(|gift| gift.3 = gift.3 * 2 + 4), 1, &mut tried);
            refused(&|bad| bad.pairs.push(bad.pairs[at]), 2, &mut tried);
        }
        if let Some(at) = good.loans.iter().position(|loan| loan.3 > 0) {
            refused(&|bad| bad.loans[at].3 = bad.loans[at].3 * 1_000 + (1 << 60), 3, &mut tried);
        }
        if good.units.len() > 1 {
            refused(
                &|bad| {
                    let moved = bad.units.remove(1);
                    bad.units[0].extend(moved);
                    bad.pairs.clear();
                },
                4,
                &mut tried,
            );
        }
    }
    assert!(tried.iter().all(|count| *count > 20), "{tried:?}");
}

#[test]
fn trees_that_leave_something_out_are_refused() {
    let (mut shorter, mut cheaper, mut early) = (0, 0, 0);
    for (problem, plan) in plans() {
        for (at, node) in plan.tree.nodes.iter().enumerate() {
            let Step::Check(step) = &node.step else { continue };
            let mut bad = plan.tree.clone();
            let mut less = step.clone();
            if step.answers.len() > 1
                && step.answers.iter().any(|(_, to)| !matches!(bad.nodes[*to].step, Step::Exit(_)))
            {
                less.answers.retain(|(_, to)| matches!(bad.nodes[*to].step, Step::Exit(_)));
                bad.nodes[at].step = Step::Check(less);
                assert!(verify::tree_cost(&problem, &bad).is_err());
                shorter += 1;
            }
            if step.seconds > 0 {
                let mut bad = plan.tree.clone();
                bad.nodes[at].step = Step::Check(CheckStep { seconds: step.seconds - 1, ..step.clone() });
                assert!(verify::tree_cost(&problem, &bad).is_err());
                cheaper += 1;
            }
            let mut bad = plan.tree.clone();
            bad.nodes[at].step = Step::Repair { repair: 0, left: Vec::new(), by_elimination: false, cured: false };
            assert!(verify::tree_cost(&problem, &bad).is_err() || pinned(&problem));
            early += 1;
        }
    }
    assert!(shorter > 50 && cheaper > 50 && early > 50);
}

fn pinned(problem: &Problem) -> bool {
    problem.checks.iter().any(|check| check.first)
}
