//! What a plan says besides its tree.

use num_rational::Ratio;

use super::make::{causes, check, confirming, random};
use crate::reason::plan::*;

fn plan(problem: &Problem) -> Plan {
    solve(problem, &Options::default()).unwrap()
}

#[test]
fn plain_orders_on_the_elementary_cases() {
    // Elementary, recomputed elsewhere: p/c order costs 2.0 where the best, with the last inferred, costs 1.0.
    let mut problem = causes(&[9, 1]);
    confirming(&mut problem, &[2, 1]);
    let cost = |problem: &Problem, rule: Rule| {
        plain_orders(problem).unwrap().into_iter().find(|plain| plain.rule == rule).unwrap().expected
    };
    assert_eq!(cost(&problem, Rule::LikelihoodPerSecond), Ratio::from(2));
    assert_eq!(cost(&problem, Rule::MostLikelyFirst), Ratio::from(2));
    assert_eq!(cost(&problem, Rule::CheapestFirst), Ratio::from(1));
    // All confirmed, p/c order is the best (Mitten 1960, cited from memory): 11.0.
    let mut problem = causes(&[5, 3, 2]);
    problem.none_of_these = Some(0);
    problem.causes.iter_mut().for_each(|cause| cause.by_elimination = false);
    confirming(&mut problem, &[10, 5, 2]);
    assert_eq!(cost(&problem, Rule::LikelihoodPerSecond), Ratio::from(11));
    assert_eq!(cost(&problem, Rule::MostLikelyFirst), Ratio::new(5 * 10 + 3 * 15 + 2 * 17, 10));
}

#[test]
fn independent_failures_in_ratio_order() {
    // Rule: Mitten 1960, cited from memory; numbers recomputed: q .2 .5 .05, c 4 9 2 gives 2, 1, 3 and 11.8.
    let (q, c) = ([0.2, 0.5, 0.05], [4.0, 9.0, 2.0]);
    let cost = |order: [usize; 3]| {
        order.iter().fold((0.0_f64, 1.0_f64), |(sum, on), at| (sum + on * c[*at], on * (1.0 - q[*at]))).0
    };
    let orders = [[0, 1, 2], [0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]];
    let best = orders.into_iter().min_by(|a, b| cost(*a).total_cmp(&cost(*b))).unwrap();
    assert_eq!(best, [1, 0, 2]);
    assert!((cost(best) - 11.8_f64).abs() < 1e-12);
    // The same order comes from the weights of exactly one cause.
    let mut problem = causes(&[20, 50, 5]);
    problem.none_of_these = Some(0);
    confirming(&mut problem, &[4, 9, 2]);
    let plain = plain_orders(&problem).unwrap();
    assert_eq!(plain.iter().find(|plain| plain.rule == Rule::LikelihoodPerSecond).unwrap().checks, best);
}

#[test]
fn no_plain_order_beats_the_plan_and_all_trees_are_whole() {
    for seed in 3_000..3_200 {
        let problem = random(seed, 7);
        let best = plan(&problem).expected;
        assert!(plain_orders(&problem).unwrap().iter().all(|plain| plain.expected >= best), "seed {seed}");
    }
}

#[test]
fn times_follow_the_ways() {
    // Elementary: .5 found after 2, .3 after 7, .2 inferred after 7; repairs take 10, 20, 30.
    let mut problem = causes(&[5, 3, 2]);
    confirming(&mut problem, &[2, 5, 90]);
    [10, 20, 30].into_iter().enumerate().for_each(|(at, seconds)| problem.repairs[at].seconds = seconds);
    let tree = plan(&problem).tree;
    let times = times(&problem, &tree);
    assert_eq!((times.find.median, times.find.ninetieth, times.find.worst), (2, 7, 7));
    assert_eq!(times.find.expected, Ratio::new(45, 10));
    assert_eq!((times.repair.median, times.repair.ninetieth, times.repair.worst), (12, 37, 37));
    let likely = answers(&tree, 0);
    assert_eq!(likely, [(0, Ratio::new(1, 2)), (1, Ratio::new(1, 2))]);
    assert_eq!(answers(&tree, 99), []);
}

#[test]
fn a_swap_that_cures_spares_the_repair() {
    let mut problem = causes(&[1, 1]);
    problem.repairs[0].seconds = 100;
    let mut swap = check(&problem, "swap", 5, &[1, 0]);
    swap.cures = Some((0, 1));
    problem.checks.push(swap);
    let times = times(&problem, &plan(&problem).tree);
    assert_eq!((times.find.worst, times.repair.worst), (5, 5));
}

#[test]
fn groups_are_tried_in_ratio_order() {
    // Elementary: seconds 10 and 3, weights 4 and 2: 3/2 before 10/4; 3 for all six, 10 for four.
    let mut problem = causes(&[4, 2, 4]);
    [10, 3, 50].into_iter().enumerate().for_each(|(at, seconds)| problem.repairs[at].seconds = seconds);
    let check = check(&problem, "t", 1, &[0, 0, 1]);
    problem.checks.push(check);
    let groups = groups(&problem).unwrap();
    assert_eq!(groups.len(), 1);
    assert_eq!((groups[0].causes.as_slice(), groups[0].order.as_slice()), (&[0, 1][..], &[1, 0][..]));
    assert_eq!(groups[0].expected, Ratio::new(3 * 6 + 10 * 4, 6));
    assert_eq!(plan(&problem).expected, Ratio::new(10 + 58, 10));
}

#[test]
fn margins_meet_where_two_checks_are_as_good() {
    // Elementary: two causes must be confirmed, c 2 and 1; the first check changes where p/c is equal, at 2 to 1.
    let mut problem = causes(&[9, 1]);
    problem.none_of_these = Some(0);
    problem.causes.iter_mut().for_each(|cause| cause.by_elimination = false);
    confirming(&mut problem, &[2, 1]);
    let margins = margins(&problem, &plan(&problem), &Options::default()).unwrap();
    assert_eq!(margins[0].down, Reach::Changes(Ratio::new(2, 3)));
    assert_eq!(margins[0].up, Reach::Stays);
    assert_eq!(margins[1].up, Reach::Changes(Ratio::new(1, 3)));
    assert_eq!((margins[1].now, margins[1].down), (Ratio::new(1, 10), Reach::Stays));
}

#[test]
fn within_its_margin_the_first_check_stays() {
    let first = |tree: &Tree| match &tree.nodes[0].step {
        Step::Check(step) => Some(step.check),
        _ => None,
    };
    for seed in 4_000..4_030 {
        let problem = random(seed, 5);
        if problem.checks.iter().any(|check| check.first) || problem.causes.iter().any(|cause| cause.weight == 0) {
            continue;
        }
        let now = plan(&problem);
        let options = Options::default();
        for margin in margins(&problem, &now, &options).unwrap() {
            let Reach::Changes(to) = margin.up else { continue };
            // A quarter of the way there, and a little beyond.
            let share = margin.now + (to - margin.now) / Ratio::from(4);
            let mut moved = problem.clone();
            let others: u128 = problem.causes.iter().map(|cause| cause.weight).sum::<u128>()
                + problem.none_of_these.unwrap_or(0)
                - problem.causes[margin.cause].weight;
            let (top, rest) = (*share.numer(), share.denom() - share.numer());
            moved.causes.iter_mut().for_each(|cause| cause.weight *= rest);
            moved.none_of_these = moved.none_of_these.map(|none| none * rest);
            moved.causes[margin.cause].weight = others * top;
            assert_eq!(first(&plan(&moved).tree), first(&now.tree), "seed {seed}, cause {}", margin.cause);
        }
    }
}

#[test]
fn the_missing_check_breaks_even_where_it_says() {
    // Elementary: three equal causes, checks of 10 and 30 seconds: 10, then 30 for two thirds. A check of C for less
    // than 30 replaces the dear one.
    let mut problem = causes(&[1, 1, 1]);
    for (id, seconds, parts) in [("a", 10, [1, 0, 0]), ("b", 30, [0, 1, 0])] {
        let check = check(&problem, id, seconds, &parts);
        problem.checks.push(check);
    }
    let now = plan(&problem);
    assert_eq!(now.expected, Ratio::from(30));
    let missing = missing_check(&problem, &now, &Options::default()).unwrap().unwrap();
    assert_eq!(missing.break_even, 29);
    let with = |seconds: u64| {
        let mut problem = problem.clone();
        let parts: Vec<usize> =
            problem.causes.iter().map(|cause| usize::from(cause.repair == missing.repair)).collect();
        let check = check(&problem, "x", seconds, &parts);
        problem.checks.push(check);
        plan(&problem).expected
    };
    assert!(with(missing.break_even) < now.expected && with(missing.break_even + 1) == now.expected);
    assert_eq!(missing.saves, now.expected - with(0));
}

#[test]
fn posterior_of_an_unreliable_check() {
    // Bayes, recomputed elsewhere: prior .5 .3 .2, detects the first with .9, false alarm .05.
    let mut problem = causes(&[5, 3, 2]);
    let mut check = check(&problem, "t", 1, &[1, 0, 0]);
    (check.outcomes[1].wrong_per_million, check.outcomes[0].wrong_per_million) = (100_000, 50_000);
    problem.checks.push(check);
    let close = |found: Vec<f64>, wanted: [f64; 3]| {
        assert!(found.iter().zip(wanted).all(|(found, wanted)| (found - wanted).abs() < 1e-6), "{found:?}");
    };
    close(posterior(&problem, &[(0, 1)]), [0.947368, 0.031579, 0.021053]);
    close(posterior(&problem, &[(0, 0)]), [0.095238, 0.542857, 0.361905]);
    let tree = plan(&problem).tree;
    let back = ways_back(&problem, &tree);
    assert_eq!(back.len(), 2, "both ends stand behind an answer that may be wrong");
    let shown = back.iter().find(|back| back.answer == 0).unwrap();
    assert!((shown.right - 0.947368).abs() < 1e-6 && (shown.there - 0.052632).abs() < 1e-6);
    assert_eq!(shown.check, 0);
    problem.checks[0].outcomes.iter_mut().for_each(|outcome| outcome.wrong_per_million = 0);
    assert_eq!(ways_back(&problem, &tree), []);
}
