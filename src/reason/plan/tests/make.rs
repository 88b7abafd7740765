//! Problems for tests: small ones written out, and random ones with every feature.

use crate::reason::plan::*;

/// A small deterministic generator.
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15) ^ 0x1234_5678_9abc_def1)
    }

    pub fn below(&mut self, end: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0.wrapping_mul(0x2545_f491_4f6c_dd1d) >> 33) as usize % end.max(1)
    }

    pub fn chance(&mut self, percent: usize) -> bool {
        self.below(100) < percent
    }

    pub fn shuffle<T>(&mut self, list: &mut [T]) {
        (1..list.len()).for_each(|at| list.swap(at, self.below(at + 1)));
    }
}

/// Causes with a repair each; elimination is allowed and there is nothing else.
pub fn causes(weights: &[u128]) -> Problem {
    let cause = |(at, weight): (usize, &u128)| Cause {
        id: format!("c{at}"),
        weight: *weight,
        repair: at,
        by_elimination: true,
    };
    Problem {
        causes: weights.iter().enumerate().map(cause).collect(),
        repairs: (0..weights.len()).map(|at| Repair { id: format!("r{at}"), seconds: 0 }).collect(),
        ..Problem::default()
    }
}

/// A sharp check; `parts` names the answer of each cause, and the last entry may be that of "none of these".
pub fn check(problem: &Problem, id: &str, seconds: u64, parts: &[usize]) -> Check {
    let n = problem.causes.len();
    let none = parts.get(n).copied().unwrap_or(0);
    let most = parts.iter().copied().max().unwrap_or(0);
    let outcomes = (0..=most).map(|answer| Outcome {
        label: format!("{answer}"),
        then: Then::Leaves((0..n).filter(|cause| parts[*cause] == answer).collect()),
        none: none == answer,
        wrong_per_million: 0,
    });
    Check { id: id.into(), seconds, outcomes: outcomes.collect(), ..Check::default() }
}

/// One confirming check per cause; a sound machine passes all.
pub fn confirming(problem: &mut Problem, seconds: &[u64]) {
    for (at, seconds) in seconds.iter().enumerate() {
        let parts: Vec<usize> = (0..problem.causes.len()).map(|cause| usize::from(cause == at)).collect();
        let check = check(problem, &format!("t{at}"), *seconds, &parts);
        problem.checks.push(check);
    }
}

/// A random problem of up to `most` causes with every feature there is.
pub fn random(seed: u64, most: usize) -> Problem {
    let mut dice = Dice::new(seed);
    let n = 1 + dice.below(most);
    let repairs = 1 + dice.below(n);
    let mut problem = Problem {
        causes: (0..n).map(|at| cause(at, repairs, &mut dice)).collect(),
        repairs: (0..repairs).map(|at| Repair { id: format!("r{at}"), seconds: dice.below(9) as u64 }).collect(),
        none_of_these: dice.chance(60).then(|| if dice.chance(50) { 0 } else { dice.below(6) as u128 }),
        tasks: (0..dice.below(2)).map(|at| Task { id: format!("m{at}"), seconds: dice.below(12) as u64 }).collect(),
        ..Problem::default()
    };
    for at in 0..dice.below(4) {
        let needs = (0..at).filter(|_| dice.chance(30)).collect();
        problem.accesses.push(Access { id: format!("a{at}"), seconds: dice.below(15) as u64, needs });
    }
    let states = dice.below(4);
    if dice.chance(50) && states > 0 {
        let row = |dice: &mut Dice, from: usize| {
            (0..states).map(|to| if from == to { 0 } else { dice.below(8) as u64 }).collect()
        };
        problem.states.change = (0..states).map(|from| row(&mut dice, from)).collect();
        problem.states.start = dice.below(states);
    }
    for at in 0..dice.below(7) {
        let check = random_check(&problem, at, &mut dice);
        problem.checks.push(check);
    }
    problem
}

fn cause(at: usize, repairs: usize, dice: &mut Dice) -> Cause {
    let weight = if dice.chance(10) { 0 } else { 1 + dice.below(30) as u128 };
    Cause { id: format!("c{at}"), weight, repair: dice.below(repairs), by_elimination: dice.chance(60) }
}

fn random_check(problem: &Problem, at: usize, dice: &mut Dice) -> Check {
    let n = problem.causes.len();
    let mut check = Check { id: format!("t{at}"), seconds: dice.below(12) as u64, ..Check::default() };
    check.accesses = (0..problem.accesses.len()).filter(|_| dice.chance(35)).collect();
    check.make_safe = (0..problem.tasks.len()).filter(|_| dice.chance(35)).collect();
    check.after = (0..at).filter(|_| dice.chance(10)).collect();
    check.first = dice.chance(8);
    if !problem.states.change.is_empty() && dice.chance(60) {
        check.state = Some(dice.below(problem.states.change.len()));
    }
    let swap = dice.chance(15);
    let count = if swap { 2 } else { 2 + dice.below(2) };
    let repair = dice.below(problem.repairs.len());
    let mut left = vec![Vec::new(); count];
    for cause in 0..n {
        let home = if swap { usize::from(problem.causes[cause].repair == repair) } else { dice.below(count) };
        left[home].push(cause);
        let other = dice.below(count);
        if !swap && dice.chance(15) && other != home {
            left[other].push(cause);
        }
    }
    let none = if swap { 0 } else { dice.below(count) };
    let outcome = |(at, list)| Outcome {
        label: format!("{at}"),
        then: Then::Leaves(list),
        none: at == none,
        wrong_per_million: 0,
    };
    check.outcomes = left.into_iter().enumerate().map(outcome).collect();
    check.cures = swap.then_some((repair, 1));
    if dice.chance(10) {
        let to_exit = dice.chance(50) && !swap;
        check.outcomes[none].none = !to_exit;
        let none = to_exit;
        check.outcomes.push(Outcome { label: "other".into(), then: Then::Exit(7), none, wrong_per_million: 0 });
    }
    check
}
