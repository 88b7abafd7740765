//! What the search has proved is written down, accepted by the verifier, and refused once anything in it is made better.

use std::collections::BTreeMap;

use num_rational::Ratio;

use super::brute;
use super::make::{self, Dice, confirming, random};
use crate::reason::plan::*;

fn proof_of(problem: &Problem, options: Options) -> Proof {
    prove(problem, &options).unwrap().expect("small enough to be written down")
}

#[test]
fn every_exact_plan_of_five_hundred_is_proved_to_its_last_second() {
    let (mut kinds, mut pinned) = ([0; 4], 0);
    for seed in 20_000..20_500 {
        let problem = random(seed, 8);
        let plan = solve(&problem, &Options::default()).unwrap();
        let proof = proof_of(&problem, Options::default());
        assert!(plan.exact, "seed {seed}");
        assert_eq!(verify::proved_bound(&problem, &proof), Ok(plan.expected), "seed {seed}: {problem:#?} {proof:#?}");
        for claim in &proof.claims {
            kinds[kind(&claim.because)] += 1;
        }
        pinned += usize::from(problem.checks.iter().any(|check| check.first));
    }
    assert!(kinds.iter().all(|count| *count > 100) && pinned > 50, "{kinds:?} {pinned}");
}

fn kind(because: &Because) -> usize {
    match because {
        Because::Tried => 0,
        Because::Levels => 1,
        Because::Pairs(_) => 2,
        Because::Checks(_) => 3,
    }
}

#[test]
fn what_a_search_cut_short_has_proved_is_true() {
    let mut less = 0;
    for seed in 21_000..21_200 {
        let problem = random(seed, 7);
        let best = brute::expected(&problem);
        for nodes in [0, 3, 10] {
            // What the search was not given enough positions for may not be written down at all.
            let Some(proof) = prove(&problem, &Options { nodes: Some(nodes) }).unwrap() else { continue };
            let bound = verify::proved_bound(&problem, &proof).unwrap();
            assert!(bound <= best, "seed {seed}: {bound} over {best}");
            less += usize::from(bound < best);
        }
    }
    assert!(less > 50, "{less}");
}

#[test]
fn larger_faults_are_written_down_too() {
    // Splitting checks with an access, and checks that confirm.
    let mut dice = Dice::new(3);
    let mut problem = make::causes(&(0..12).map(|_| 1 + dice.below(40) as u128).collect::<Vec<_>>());
    problem.none_of_these = Some(0);
    problem.causes.iter_mut().for_each(|cause| cause.by_elimination = false);
    problem.accesses.push(Access { id: "panel".into(), seconds: 90, needs: Vec::new() });
    for at in 0..8 {
        let parts: Vec<usize> = (0..12).map(|_| dice.below(2)).collect();
        let mut check = make::check(&problem, &format!("s{at}"), 30 + dice.below(200) as u64, &parts);
        check.accesses = if dice.chance(40) { vec![0] } else { Vec::new() };
        problem.checks.push(check);
    }
    let seconds: Vec<u64> = (0..12).map(|_| 30 + dice.below(300) as u64).collect();
    confirming(&mut problem, &seconds);
    let plan = solve(&problem, &Options::default()).unwrap();
    let proof = proof_of(&problem, Options::default());
    assert!(plan.exact && proof.claims.len() > 20, "{}", proof.claims.len());
    assert_eq!(verify::proved_bound(&problem, &proof), Ok(plan.expected));
}

/// Every way of making one number of a proof one larger.
fn raised(proof: &Proof) -> Vec<(&'static str, Proof)> {
    let mut all = Vec::new();
    let mut with = |what, change: &dyn Fn(&mut Proof)| {
        let mut new = proof.clone();
        change(&mut new);
        all.push((what, new));
    };
    with("scale", &|proof| proof.scale += 1);
    with("divisor", &|proof| proof.divisor += 1);
    for (at, claim) in proof.claims.iter().enumerate() {
        with("bound", &|proof| proof.claims[at].bound += 1);
        let Because::Pairs(pairs) = &claim.because else { continue };
        let edit = |change: &dyn Fn(&mut Pairs)| {
            let mut new = pairs.clone();
            change(&mut new);
            Because::Pairs(new)
        };
        with("room", &|proof| proof.claims[at].because = edit(&|pairs| pairs.room += 1));
        for pair in 0..pairs.pairs.len() {
            with("worth", &|proof| proof.claims[at].because = edit(&|pairs| pairs.pairs[pair].worth += 1));
            for gift in 0..pairs.pairs[pair].gifts.len() {
                with("gift", &|proof| proof.claims[at].because = edit(&|pairs| pairs.pairs[pair].gifts[gift].1 += 1));
            }
        }
        for loan in 0..pairs.loans.len() {
            with("loan", &|proof| proof.claims[at].because = edit(&|pairs| pairs.loans[loan].3 += 1));
        }
    }
    all
}

#[test]
fn a_proof_with_any_number_raised_is_refused_or_proves_no_more() {
    let (mut refused, mut same, mut tried) = (0, 0, BTreeMap::<&str, usize>::new());
    for seed in 20_000..20_200 {
        let problem = random(seed, 7);
        let best = brute::expected(&problem);
        let proof = proof_of(&problem, Options::default());
        for (what, bad) in raised(&proof) {
            *tried.entry(what).or_default() += 1;
            match verify::proved_bound(&problem, &bad) {
                Err(_) => refused += 1,
                // A part of a gift may come from the other side's budget, and amounts may be counted coarser: what is
                // proved is never more for it.
                Ok(bound) => {
                    assert!(bound <= best && !matches!(what, "bound" | "loan"), "seed {seed}: {what} was raised");
                    same += 1;
                }
            }
        }
    }
    assert!(refused > 1_000 && same < refused / 2, "{refused} {same}");
    assert!(tried.len() == 7 && tried.values().all(|count| *count > 20), "{tried:?}");
}

#[test]
fn a_proof_with_a_branch_removed_is_refused() {
    let (mut checks, mut answers, mut claims) = (0, 0, 0);
    for seed in 20_000..20_200 {
        let problem = random(seed, 7);
        let best = brute::expected(&problem);
        let proof = proof_of(&problem, Options::default());
        for (at, claim) in proof.claims.iter().enumerate() {
            let mut bad = proof.clone();
            bad.claims.remove(at);
            claims += 1;
            assert!(verify::proved_bound(&problem, &bad).map_or(true, |bound| bound < best), "seed {seed}");
            let Because::Checks(list) = &claim.because else { continue };
            for place in 0..list.len() {
                let mut less = list.clone();
                less.remove(place);
                checks += 1;
                let with = |list| {
                    let mut bad = proof.clone();
                    bad.claims[at].because = Because::Checks(list);
                    verify::proved_bound(&problem, &bad)
                };
                assert!(with(less).is_err(), "seed {seed}");
                for answer in 0..list[place].answers.len() {
                    let mut less = list.clone();
                    less[place].answers.remove(answer);
                    answers += 1;
                    assert!(with(less).is_err(), "seed {seed}: {list:?}");
                }
            }
        }
    }
    assert!(checks > 300 && answers > 300 && claims > 300, "{checks} {answers} {claims}");
}

#[test]
fn a_proof_of_another_problem_is_refused() {
    let mut refused = 0;
    for seed in 20_000..20_200 {
        let problem = random(seed, 7);
        let proof = proof_of(&problem, Options::default());
        for at in 0..problem.checks.len() {
            let mut cheaper = problem.clone();
            cheaper.checks[at].seconds /= 2;
            let best = brute::expected(&cheaper);
            match verify::proved_bound(&cheaper, &proof) {
                Ok(bound) => assert!(bound <= best, "seed {seed}"),
                Err(_) => refused += 1,
            }
        }
    }
    assert!(refused > 200, "{refused}");
}

#[test]
fn nothing_to_prove_and_too_much_to_prove() {
    let one = make::causes(&[3]);
    assert_eq!(verify::proved_bound(&one, &proof_of(&one, Options::default())), Ok(Ratio::from(0)));
    assert_eq!(
        verify::proved_bound(&one, &Proof::default()),
        Err(verify::Wrong("the units do not hold every cause once"))
    );
    assert_eq!(prove(&Problem::default(), &Options::default()), Err(PlanError::NoCause));
    let mut wide = make::causes(&[1; 200]);
    confirming(&mut wide, &[60; 200]);
    assert_eq!(prove(&wide, &Options::default()), Ok(None));
}
