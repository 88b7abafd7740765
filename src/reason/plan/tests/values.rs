//! Values from outside. Sources are cited from memory; the numbers were recomputed elsewhere with other code.

use num_rational::Ratio;

use super::make::{causes, check, confirming};
use crate::reason::plan::bounds::huffman;
use crate::reason::plan::*;

fn best(problem: &Problem) -> Ratio<u128> {
    let plan = solve(problem, &Options::default()).unwrap();
    assert!(plan.exact);
    assert_eq!(verify::tree_cost(problem, &plan.tree), Ok(plan.expected));
    assert!(verify::lower_bound(problem, &plan.certificate).unwrap() <= plan.expected);
    plan.expected
}

fn ratio(top: u128, bottom: u128) -> Ratio<u128> {
    Ratio::new(top, bottom)
}

/// Everything must be confirmed: a sound machine passes every check.
fn confirmed(mut problem: Problem) -> Problem {
    problem.none_of_these = Some(0);
    problem.causes.iter_mut().for_each(|cause| cause.by_elimination = false);
    problem
}

fn bits(problem: &mut Problem, rows: &[&str]) {
    for column in 0..rows[0].len() {
        let parts: Vec<usize> = rows.iter().map(|row| usize::from(row.as_bytes()[column] == b'1')).collect();
        let check = check(problem, &format!("t{column}"), 1, &parts);
        problem.checks.push(check);
    }
}

#[test]
fn six_states_and_five_tests() {
    // Pattipati & Alexandridis, IEEE Trans. SMC 20(4), 1990, cited from memory: 2.18, Huffman bound 1.59.
    let weights = [70, 1, 2, 10, 5, 12];
    let mut problem = causes(&weights);
    bits(&mut problem, &["00000", "01001", "00110", "10011", "11000", "11110"]);
    assert_eq!(best(&problem), ratio(218, 100));
    assert_eq!(huffman::bound(weights.to_vec(), &[1; 5], 2), 159);
}

/// One unit-cost check for every way of parting the causes in two.
fn every_binary_check(problem: &mut Problem) {
    for mask in 1..1_usize << (problem.causes.len() - 1) {
        let parts: Vec<usize> = (0..problem.causes.len()).map(|cause| mask >> cause & 1).collect();
        let check = check(problem, &format!("t{mask:05}"), 1, &parts);
        problem.checks.push(check);
    }
}

#[test]
fn every_binary_check_gives_huffmans_code() {
    // Cormen et al., Introduction to Algorithms, Huffman example, cited from memory: 2.24.
    let mut problem = causes(&[45, 13, 12, 16, 9, 5]);
    every_binary_check(&mut problem);
    assert_eq!(best(&problem), ratio(224, 100));
}

#[test]
fn huffmans_thirteen_messages() {
    // Huffman, Proc. IRE 40, 1952, Table I, cited from memory: 3.42 when every binary check is allowed. Huffman's bound
    // holds for all 4,095 of them and is met with those that keep the order of the weights and those that pick out up
    // to three messages, so the others are left out to save time.
    let weights = [20, 18, 10, 10, 10, 6, 6, 4, 4, 4, 4, 3, 1];
    assert_eq!(huffman::bound(weights.to_vec(), &[1; 4_095], 2), 342);
    let mut problem = causes(&weights);
    every_binary_check(&mut problem);
    problem.checks.retain(|check| {
        let Then::Leaves(list) = &check.outcomes[1].then else { return false };
        list.len() <= 3 || list.windows(2).all(|two| two[1] == two[0] + 1)
    });
    assert_eq!(best(&problem), ratio(342, 100));
}

/// Gaps and keys alternating, g0 k1 g1 k2 ...; the check of a key says less, equal or greater.
fn search_tree(keys: &[u128], gaps: &[u128]) -> Problem {
    let mut weights = vec![gaps[0]];
    keys.iter().zip(&gaps[1..]).for_each(|(key, gap)| weights.extend([*key, *gap]));
    let mut problem = causes(&weights);
    for key in 0..keys.len() {
        let parts: Vec<usize> =
            (0..weights.len()).map(|at| 1 + usize::from(at > 2 * key + 1) - usize::from(at < 2 * key + 1)).collect();
        let check = check(&problem, &format!("key{}", key + 1), 1, &parts);
        problem.checks.push(check);
    }
    problem
}

#[test]
fn optimal_search_trees() {
    // Cormen et al., optimal binary search tree, cited from memory: 2.75 counting a gap's leaf as a visit, which is
    // 2.35 without; roots 2 and 4 tie.
    let (keys, gaps) = ([15, 10, 5, 10, 20], [5, 10, 5, 5, 5, 10]);
    let problem = search_tree(&keys, &gaps);
    assert_eq!(best(&problem), ratio(235, 100));
    assert_eq!(best(&problem) + ratio(gaps.iter().sum(), 100), ratio(275, 100));
    let with_root = |root: usize| {
        let mut problem = problem.clone();
        problem.checks[root].first = true;
        best(&problem)
    };
    assert_eq!([1, 3].map(with_root), [ratio(235, 100); 2]);
    assert!([0, 2, 4].map(with_root).iter().all(|cost| *cost > ratio(235, 100)));
    // The same eleven as a chain with two-answer checks: 3.40.
    let mut chain = causes(&[5, 15, 10, 10, 5, 5, 5, 10, 5, 20, 10]);
    for cut in 0..10 {
        let parts: Vec<usize> = (0..11).map(|at| usize::from(at > cut)).collect();
        let check = check(&chain, &format!("cut{cut}"), 1, &parts);
        chain.checks.push(check);
    }
    assert_eq!(best(&chain), ratio(340, 100));
    // Horowitz & Sahni, cited from memory: 32 with these weights.
    assert_eq!(best(&search_tree(&[3, 3, 1, 1], &[2, 3, 1, 1, 1])), ratio(32, 16));
}

#[test]
fn equal_causes_with_confirming_checks() {
    // Elementary: (n - 1)(n + 2) / (2 n) when the last is inferred.
    for n in [3_usize, 5, 8] {
        let mut problem = causes(&vec![1; n]);
        confirming(&mut problem, &vec![1; n]);
        let n = n as u128;
        assert_eq!(best(&problem), ratio((n - 1) * (n + 2), 2 * n));
    }
}

#[test]
fn elimination_and_confirmation_differ() {
    // Elementary, recomputed: 1.0 inferred, 2.1 confirmed.
    let mut problem = causes(&[9, 1]);
    confirming(&mut problem, &[2, 1]);
    assert_eq!(best(&problem), ratio(1, 1));
    assert_eq!(best(&confirmed(problem)), ratio(21, 10));
    // Likewise 6.0 and 11.0; the confirmed order is 3, 2, 1.
    let mut problem = causes(&[5, 3, 2]);
    confirming(&mut problem, &[10, 5, 2]);
    assert_eq!(best(&problem), ratio(6, 1));
    let problem = confirmed(problem);
    assert_eq!(best(&problem), ratio(11, 1));
    let tree = solve(&problem, &Options::default()).unwrap().tree;
    let checks = tree.nodes.iter().filter_map(|node| match &node.step {
        Step::Check(step) => Some(step.check),
        _ => None,
    });
    assert_eq!(checks.collect::<Vec<_>>(), [2, 1, 0]);
}

#[test]
fn a_panel_that_checks_share() {
    // Recomputed elsewhere: 11.4 shared, 14.5 if paid each time, 4.6 if free, 11.2 if C and D share a repair.
    let mut problem = causes(&[4, 3, 2, 1]);
    confirming(&mut problem, &[4, 2, 1, 12]);
    let free = problem.clone();
    problem.accesses.push(Access { id: "panel".into(), seconds: 10, needs: Vec::new() });
    problem.checks[1].accesses.push(0);
    problem.checks[2].accesses.push(0);
    assert_eq!(best(&problem), ratio(114, 10));
    assert_eq!(best(&free), ratio(46, 10));
    let mut apart = free;
    apart.checks[1].seconds += 10;
    apart.checks[2].seconds += 10;
    assert_eq!(best(&apart), ratio(145, 10));
    problem.causes[3].repair = 2;
    assert_eq!(best(&problem), ratio(112, 10));
}
