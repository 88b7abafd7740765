//! Odd and huge problems: a sensible plan or a clear error, never a panic and never a hang.

use num_rational::Ratio;

use super::make::{Dice, causes, check, confirming, random};
use crate::reason::plan::*;

fn plan(problem: &Problem) -> Plan {
    let plan = solve(problem, &Options::default()).unwrap();
    assert!(plan.lower_bound <= plan.expected);
    plan
}

#[test]
fn nothing_to_find_and_nothing_to_look_with() {
    assert_eq!(solve(&Problem::default(), &Options::default()), Err(PlanError::NoCause));
    let one = plan(&causes(&[3]));
    assert_eq!((one.expected, one.exact, one.tree.nodes.len()), (Ratio::from(0), true, 1));
    let mut problem = causes(&[4, 2]);
    problem.repairs.iter_mut().for_each(|repair| repair.seconds = 60);
    let group = plan(&problem);
    assert!(matches!(&group.tree.nodes[0].step, Step::Group { order, .. } if *order == [0, 1]));
    assert_eq!(group.expected, Ratio::from(80));
}

#[test]
fn zero_weights_and_zero_costs() {
    let mut problem = causes(&[0, 0, 0]);
    confirming(&mut problem, &[1, 1, 1]);
    let equal = plan(&problem);
    assert!(equal.assumed_equal);
    assert_eq!(equal.expected, Ratio::new(5, 3));
    problem.causes[0].weight = 5;
    assert_eq!(plan(&problem).expected, Ratio::from(1));
    problem.checks.iter_mut().for_each(|check| check.seconds = 0);
    let free = plan(&problem);
    assert_eq!((free.expected, free.exact), (Ratio::from(0), true));
    assert_eq!(verify::tree_cost(&problem, &free.tree), Ok(Ratio::from(0)));
}

#[test]
fn weights_far_apart_and_numbers_too_large() {
    let mut problem = causes(&[1, 10_u128.pow(24), 10_u128.pow(12)]);
    confirming(&mut problem, &[60, 7, 300]);
    let far = plan(&problem);
    assert_eq!(verify::tree_cost(&problem, &far.tree), Ok(far.expected));
    problem.causes[0].weight = u128::MAX;
    assert!(matches!(solve(&problem, &Options::default()), Err(PlanError::TooLarge(_))));
    problem.causes[0].weight = 1;
    problem.checks[0].seconds = u64::MAX;
    assert!(matches!(solve(&problem, &Options::default()), Err(PlanError::TooLarge(_))));
}

#[test]
fn what_has_no_meaning_is_named() {
    let good = || {
        let mut problem = causes(&[1, 1]);
        confirming(&mut problem, &[1, 1]);
        problem
    };
    let error = |change: &dyn Fn(&mut Problem)| {
        let mut problem = good();
        change(&mut problem);
        solve(&problem, &Options::default()).unwrap_err()
    };
    assert_eq!(error(&|p| p.causes[1].id = "c0".into()), PlanError::DuplicateId("c0".into()));
    assert!(matches!(error(&|p| p.causes[0].repair = 9), PlanError::Dangling { what: "repair", position: 9, .. }));
    assert!(matches!(error(&|p| p.checks[0].accesses.push(0)), PlanError::Dangling { what: "access", .. }));
    assert!(matches!(error(&|p| p.checks[0].state = Some(0)), PlanError::Dangling { what: "state", .. }));
    assert!(matches!(
        error(&|p| {
            p.checks[0].outcomes.pop();
        }),
        PlanError::CauseInNoAnswer { .. }
    ));
    let circle = |p: &mut Problem| (p.checks[0].after, p.checks[1].after) = (vec![1], vec![0]);
    assert!(matches!(error(&circle), PlanError::Circle { what: "check", .. }));
    assert!(matches!(error(&|p| p.checks[0].cures = Some((1, 1))), PlanError::CureLeavesOther(_)));
}

#[test]
fn five_thousand_causes() {
    let mut dice = Dice::new(5);
    let n = 5_000;
    let weights: Vec<u128> = (0..n).map(|_| 1 + dice.below(100) as u128).collect();
    let mut problem = causes(&weights);
    for at in 0..30 {
        let parts: Vec<usize> = (0..n).map(|_| dice.below(3)).collect();
        let check = check(&problem, &format!("t{at}"), 10 + dice.below(100) as u64, &parts);
        problem.checks.push(check);
    }
    let wide = plan(&problem);
    assert_eq!(verify::tree_cost(&problem, &wide.tree), Ok(wide.expected));
    assert!(!wide.exact && wide.lower_bound > Ratio::from(0));
    let none = plan(&causes(&weights));
    assert!(matches!(&none.tree.nodes[0].step, Step::Group { order, .. } if order.len() == n));
}

#[test]
fn a_path_hundreds_of_checks_deep() {
    let n = 600;
    let mut problem = causes(&vec![1; n]);
    problem.none_of_these = Some(0);
    confirming(&mut problem, &vec![1; n]);
    let deep = plan(&problem);
    // Elementary: n equal causes found one by one, the last inferred.
    let n = n as u128;
    assert_eq!(deep.expected, Ratio::new((n - 1) * (n + 2), 2 * n));
}

#[test]
fn many_checks_that_are_not_sharp_do_not_hang() {
    let mut dice = Dice::new(9);
    let mut problem = causes(&[7; 20]);
    for at in 0..60 {
        let parts: Vec<usize> = (0..20).map(|_| dice.below(2)).collect();
        let mut check = check(&problem, &format!("t{at:02}"), 1 + dice.below(30) as u64, &parts);
        for outcome in &mut check.outcomes {
            if let Then::Leaves(list) = &mut outcome.then {
                list.extend((0..20).filter(|cause| parts[*cause] != 2 && dice.chance(12)));
                list.sort_unstable();
                list.dedup();
            }
        }
        problem.checks.push(check);
    }
    match solve(&problem, &Options { nodes: Some(50) }) {
        Ok(plan) => assert_eq!(verify::lower_bound(&problem, &plan.certificate), Ok(plan.certificate.bound)),
        Err(error) => assert!(matches!(error, PlanError::TooLarge(_))),
    }
}

#[test]
fn thousands_of_checks_on_many_causes_do_not_hang() {
    let mut dice = Dice::new(11);
    let mut problem = causes(&[3; 100]);
    for at in 0..1_500 {
        let parts: Vec<usize> = (0..100).map(|_| dice.below(2)).collect();
        let check = check(&problem, &format!("t{at:04}"), 1 + dice.below(30) as u64, &parts);
        problem.checks.push(check);
    }
    let plan = plan(&problem);
    assert_eq!(plan.tree.cost(&problem), (plan.expected * Ratio::from(plan.tree.total)).to_integer());
}

#[test]
fn wide_and_narrow_agree_on_what_a_tree_is() {
    use crate::reason::plan::{model::Model, wide};
    for seed in 10_000..10_300 {
        let problem = random(seed, 7);
        let model = Model::new(&problem).unwrap();
        let tree = wide::tree(&problem, &model).unwrap();
        let cost = Ratio::new(tree.cost(&problem), model.total.max(1));
        assert_eq!(verify::tree_cost(&problem, &tree), Ok(cost), "seed {seed}");
    }
}
