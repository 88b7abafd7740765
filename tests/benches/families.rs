//! Seeded synthetic faults, by family.

use bayleaf::reason::plan::{Access, Cause, Check, Outcome, Problem, Repair, Then};

/// A small deterministic generator (a 64-bit Weyl sequence, mixed).
pub struct Dice(u64);

impl Dice {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x2545_f491_4f6c_dd1d) ^ 0x5851_f42d_4c95_7f2d)
    }

    pub fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    pub fn below(&mut self, end: u64) -> u64 {
        self.roll() % end.max(1)
    }

    pub fn chance(&mut self, percent: u64) -> bool {
        self.below(100) < percent
    }
}

/// What kind of checks a family has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Each check confirms one cause.
    Confirming,
    /// Each check leaves a random part of the causes.
    Splitting,
    /// Stages in series, tests between them.
    Chain,
    /// Half confirming, half splitting, a tenth with three answers.
    Mixed,
}

/// One family of faults.
#[derive(Debug, Clone, Copy)]
pub struct Family {
    pub name: &'static str,
    pub kind: Kind,
    pub causes: usize,
    pub checks: usize,
    pub repairs: usize,
    pub accesses: usize,
    pub none: bool,
}

const fn family(name: &'static str, kind: Kind, sizes: [usize; 4], none: bool) -> Family {
    let [causes, checks, repairs, accesses] = sizes;
    Family { name, kind, causes, checks, repairs, accesses, none }
}

/// All families, by size. In `none` families every cause must be confirmed.
pub const FAMILIES: &[Family] = &[
    family("mixed 8/12/8/2", Kind::Mixed, [8, 12, 8, 2], true),
    family("chain 12/20/12/2", Kind::Chain, [12, 20, 12, 2], false),
    family("splitting 16/40/8/4", Kind::Splitting, [16, 40, 8, 4], false),
    family("mixed 16/40/8/4", Kind::Mixed, [16, 40, 8, 4], true),
    family("confirming 20/20/20/0", Kind::Confirming, [20, 20, 20, 0], false),
    family("splitting 24/36/8/4", Kind::Splitting, [24, 36, 8, 4], false),
    family("mixed 24/36/8/4", Kind::Mixed, [24, 36, 8, 4], true),
    family("chain 30/59/30/0", Kind::Chain, [30, 59, 30, 0], false),
    family("splitting 60/60/60/0", Kind::Splitting, [60, 60, 60, 0], false),
    family("splitting 60/90/60/0", Kind::Splitting, [60, 90, 60, 0], false),
    family("mixed 60/90/60/0", Kind::Mixed, [60, 90, 60, 0], true),
    family("chain 60/90/60/0", Kind::Chain, [60, 90, 60, 0], false),
    family("confirming 60/90/8/0", Kind::Confirming, [60, 90, 8, 0], false),
    family("chain 60/90/8/0", Kind::Chain, [60, 90, 8, 0], false),
    family("splitting 60/90/8/0", Kind::Splitting, [60, 90, 8, 0], false),
    family("mixed 60/90/8/0", Kind::Mixed, [60, 90, 8, 0], true),
    family("confirming 60/90/8/6", Kind::Confirming, [60, 90, 8, 6], false),
    family("chain 60/90/8/6", Kind::Chain, [60, 90, 8, 6], false),
    family("splitting 60/90/8/6", Kind::Splitting, [60, 90, 8, 6], false),
    family("mixed 60/90/8/6", Kind::Mixed, [60, 90, 8, 6], true),
];

/// The fault number `seed` of a family.
pub fn problem(family: &Family, seed: u64) -> Problem {
    let mut dice = Dice::new(seed + 1);
    let n = family.causes;
    let causes = (0..n)
        .map(|at| Cause {
            id: format!("c{at:04}"),
            weight: u128::from(1 + dice.below(100) * dice.below(100) / 100),
            repair: if at < family.repairs { at } else { dice.below(family.repairs as u64) as usize },
            by_elimination: !family.none,
        })
        .collect();
    let accesses: Vec<Access> = (0..family.accesses)
        .map(|at| Access { id: format!("a{at}"), seconds: 60 * (3 + dice.below(13)), needs: Vec::new() })
        .collect();
    let mut checks: Vec<Check> = (0..family.checks).map(|at| check(family, at, &mut dice)).collect();
    if family.kind == Kind::Splitting || family.kind == Kind::Mixed {
        separate(n, &mut checks, &mut dice);
    }
    Problem {
        causes,
        repairs: (0..family.repairs).map(|at| Repair { id: format!("r{at}"), seconds: 600 }).collect(),
        none_of_these: family.none.then_some(0),
        checks,
        accesses,
        ..Problem::default()
    }
}

fn check(family: &Family, at: usize, dice: &mut Dice) -> Check {
    let n = family.causes;
    let parts: Vec<usize> = match family.kind {
        Kind::Confirming => (0..n).map(|cause| usize::from(cause == at % n)).collect(),
        Kind::Chain if at < n - 1 => (0..n).map(|cause| usize::from(cause <= at)).collect(),
        Kind::Chain => (0..n).map(|cause| usize::from(cause == at - (n - 1))).collect(),
        Kind::Mixed if at < family.checks / 2 => (0..n).map(|cause| usize::from(cause == at % n)).collect(),
        Kind::Splitting | Kind::Mixed => {
            let answers = if dice.chance(10) { 3 } else { 2 };
            let share = 20 + dice.below(50);
            (0..n).map(|_| if dice.chance(share) { 1 + dice.below(answers - 1) as usize } else { 0 }).collect()
        }
    };
    let accesses = if family.accesses > 0 && dice.chance(60) {
        vec![dice.below(family.accesses as u64) as usize]
    } else {
        Vec::new()
    };
    Check {
        id: format!("t{at:04}"),
        seconds: 30 * (1 + dice.below(30)),
        accesses,
        outcomes: outcomes(&parts),
        ..Check::default()
    }
}

fn outcomes(parts: &[usize]) -> Vec<Outcome> {
    let most = parts.iter().copied().max().unwrap_or(0).max(1);
    (0..=most)
        .map(|answer| Outcome {
            label: format!("answer {answer}"),
            then: Then::Leaves((0..parts.len()).filter(|cause| parts[*cause] == answer).collect()),
            none: answer == 0,
            wrong_per_million: 0,
        })
        .collect()
}

/// Moves causes that nothing tells apart to another answer of some check.
fn separate(n: usize, checks: &mut [Check], dice: &mut Dice) {
    for _ in 0..20 {
        let part = |check: &Check, cause: usize| {
            check
                .outcomes
                .iter()
                .position(|outcome| matches!(&outcome.then, Then::Leaves(list) if list.contains(&cause)))
        };
        let same: Vec<usize> =
            (1..n).filter(|a| (0..*a).any(|b| checks.iter().all(|check| part(check, *a) == part(check, b)))).collect();
        if same.is_empty() {
            return;
        }
        for cause in same {
            let at = dice.below(checks.len() as u64) as usize;
            let now = part(&checks[at], cause).unwrap_or(0);
            let next = (now + 1) % checks[at].outcomes.len();
            for (answer, outcome) in checks[at].outcomes.iter_mut().enumerate() {
                if let Then::Leaves(list) = &mut outcome.then {
                    list.retain(|other| *other != cause);
                    if answer == next {
                        list.push(cause);
                    }
                }
            }
        }
    }
}
