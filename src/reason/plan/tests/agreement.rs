//! Agreement with the brute force, and soundness of every bound, on random problems with all features.

use num_rational::Ratio;

use super::brute;
use super::make::{self, Dice, check, random};
use crate::reason::plan::bounds::cover::{Cover, floor};
use crate::reason::plan::bounds::huffman;
use crate::reason::plan::deepen::deepen;
use crate::reason::plan::leftover;
use crate::reason::plan::model::Model;
use crate::reason::plan::search::{Found, Search};
use crate::reason::plan::*;

#[test]
fn agrees_with_brute_force_on_a_thousand_problems() {
    for seed in 0..1_000 {
        let problem = random(seed, 7);
        let best = brute::expected(&problem);
        let plan = solve(&problem, &Options::default()).unwrap();
        assert!(plan.exact, "seed {seed}");
        assert_eq!(plan.expected, best, "seed {seed}: {problem:#?}");
        assert_eq!(verify::tree_cost(&problem, &plan.tree), Ok(best), "seed {seed}");
        assert_eq!(verify::lower_bound(&problem, &plan.certificate), Ok(plan.certificate.bound), "seed {seed}");
        assert!(plan.certificate.bound <= best, "seed {seed}");
    }
}

/// Three states with a way from the first to the last that is far quicker by way of the second. The coarser of two
/// checks leaves a third one useful, which takes the machine along that way.
fn with_a_detour() -> Problem {
    let mut problem = make::causes(&[100, 1, 1, 1]);
    problem.states.change = vec![vec![0, 1, 10_000], vec![0, 0, 1], vec![0, 0, 0]];
    let rows: [(&str, u64, &[usize], Option<usize>); 4] = [
        ("coarse", 10, &[1, 0, 0, 0], None),
        ("fine", 9, &[1, 2, 0, 0], None),
        ("on-the-way", 20, &[0, 1, 0, 0], Some(1)),
        ("at-last", 1, &[0, 0, 1, 0], Some(2)),
    ];
    for (id, seconds, parts, state) in rows {
        let check = Check { state, ..check(&problem, id, seconds, parts) };
        problem.checks.push(check);
    }
    problem
}

#[test]
fn a_coarser_check_is_not_left_out_where_it_leads_to_a_quicker_way_between_states() {
    let problem = with_a_detour();
    let plan = solve(&problem, &Options::default()).unwrap();
    // By hand: coarse on 103, the next on 3 after a change of 1, the last on 2 after another.
    assert_eq!(plan.expected, Ratio::new(103 * 10 + 3 * 21 + 2 * 2, 103));
    assert_eq!(plan.expected, brute::expected(&problem));
    let found = recheck(&problem, &plan, &Options::default()).unwrap();
    assert!(found.whole && found.tree, "{found:?}");
}

#[test]
fn without_budget_the_tree_is_still_whole_and_the_gap_certified() {
    let mut worst = 1.0_f64;
    for seed in 0..300 {
        let problem = random(seed, 7);
        let best = brute::expected(&problem);
        let plan = solve(&problem, &Options { nodes: Some(0) }).unwrap();
        assert_eq!(verify::tree_cost(&problem, &plan.tree), Ok(plan.expected), "seed {seed}");
        assert!(plan.expected >= best && plan.lower_bound <= best, "seed {seed}");
        assert_eq!(plan.exact, plan.expected == plan.lower_bound, "seed {seed}");
        if *best.numer() > 0 {
            let ratio = plan.expected / best;
            worst = worst.max(*ratio.numer() as f64 / *ratio.denom() as f64);
        }
    }
    assert!(worst < 1.6, "rollout is {worst} times the best");
}

#[test]
fn no_bound_is_above_the_best() {
    for seed in 2_000..2_400 {
        let problem = random(seed, 7);
        if problem.checks.iter().any(|check| check.first) {
            continue;
        }
        let model = Model::new(&problem).unwrap();
        let best = brute::expected(&problem) * model.total;
        let root = model.root();
        let probes: Vec<u16> = (0..model.probes.len() as u16).collect();
        let certain: u128 = model.grouped.iter().sum();
        for sweeps in [1, 10, 100] {
            let value = floor(Cover::new(&model, &root, &probes, None).improve(1, sweeps, f64::INFINITY)) + certain;
            assert!(best >= value.into(), "pair covering, seed {seed}: {value} over {best}");
        }
        let mut costs: Vec<u64> = model.probes.iter().map(|probe| probe.cost).collect();
        costs.sort_unstable();
        let arity = model.probes.iter().map(|probe| probe.sets.len()).max().unwrap_or(2).max(2);
        let value = huffman::bound(huffman::groups(&model, &root), &costs, arity) + certain;
        assert!(best >= value.into(), "Huffman, seed {seed}: {value} over {best}");
    }
}

#[test]
fn searching_in_steps_finds_the_same_and_proves_no_more_than_is_true() {
    let mut cut_short = 0;
    for seed in 2_000..2_400 {
        let problem = random(seed, 7);
        if problem.checks.iter().any(|check| check.first) {
            continue;
        }
        let model = Model::new(&problem).unwrap();
        let best = brute::expected(&problem) * model.total;
        let root = model.settle(model.root());
        for until in [0, 5_000, 20_000, u64::MAX] {
            match deepen(&model, &mut Search::new(&model, u64::MAX), root, until).unwrap() {
                Found::Exact(cost) => assert_eq!(best, cost.into(), "seed {seed}"),
                Found::Over(cost) | Found::Spent(cost) => {
                    assert!(until < u64::MAX && best >= cost.into(), "seed {seed}: {cost} over {best}");
                    cut_short += 1;
                }
            }
        }
    }
    assert!(cut_short > 100, "{cut_short}");
}

/// Checks that each show one cause; some causes share a repair, some have no check.
fn showing_one(seed: u64) -> Problem {
    let mut dice = Dice::new(seed + 1);
    let count = 3 + dice.below(5);
    let mut problem = super::make::causes(&(0..count).map(|_| dice.below(30) as u128).collect::<Vec<_>>());
    let (repairs, eliminable) = (1 + dice.below(4), dice.chance(70));
    problem.none_of_these = dice.chance(40).then(|| dice.below(5) as u128);
    problem.accesses = vec![Access { id: "a".into(), seconds: 60, needs: Vec::new() }];
    for cause in &mut problem.causes {
        cause.repair = dice.below(repairs.min(count));
        cause.by_elimination = eliminable;
    }
    problem.repairs.iter_mut().for_each(|repair| repair.seconds = dice.below(100) as u64);
    for at in 0..count + dice.below(3) {
        let parts: Vec<usize> = (0..count).map(|cause| usize::from(cause == at % count)).collect();
        let mut new = check(&problem, &format!("t{at}"), dice.below(40) as u64, &parts);
        new.accesses = if seed.is_multiple_of(2) && dice.chance(40) { vec![0] } else { Vec::new() };
        if dice.chance(90) {
            problem.checks.push(new);
        }
    }
    problem
}

#[test]
fn what_is_left_over_bounds_faults_whose_checks_show_one_cause() {
    let (mut tried, mut tight) = (0, 0);
    for seed in 0..600 {
        let problem = showing_one(seed);
        let model = Model::new(&problem).unwrap();
        assert!(leftover::applies(&model), "seed {seed}");
        let best = brute::expected(&problem) * model.total.max(1);
        let (bound, tree) = (leftover::bound(&model), leftover::tree(&problem, &model).unwrap());
        assert!(best >= bound.into(), "seed {seed}: {bound} over {best}");
        assert!(best <= tree.cost(&problem).into(), "seed {seed}");
        assert_eq!(verify::tree_cost(&problem, &tree), Ok(Ratio::new(tree.cost(&problem), model.total)), "seed {seed}");
        tried += u32::from(seed % 2 == 1);
        tight += u32::from(seed % 2 == 1 && tree.cost(&problem) == bound);
    }
    assert!(tight * 10 > tried * 8, "{tight} of {tried} proved without access");
}
