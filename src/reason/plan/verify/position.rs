//! Where a tree may stand, worked out from the meaning of the problem: units as bits, and what each answer leaves of them.

use std::collections::{BTreeMap, BTreeSet};

use super::{Wrong, answers, ensure, extras, may_end, pinned, price, weight};
use crate::reason::plan::certificate::Extra;
use crate::reason::plan::problem::{Problem, Then};
use crate::reason::plan::proof::Proof;

/// The problem laid out once for all positions.
pub(super) struct Table<'a> {
    pub problem: &'a Problem,
    pub units: &'a [Vec<usize>],
    /// Weight of each cause in the proof's measure; "none of these" last.
    pub weights: Vec<u128>,
    /// Per check and answer, the units it leaves.
    pub leaves: Vec<Vec<u128>>,
    /// Checks that always come first, in order.
    pub first: Vec<usize>,
    /// Per check, what must be open or done for it.
    pub extras: Vec<BTreeSet<Extra>>,
    /// Checks that are sharp for every unit, wait for none, and that none waits for.
    free: Vec<bool>,
}

/// One position.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Position {
    /// Units still possible.
    pub set: u128,
    /// In how many even parts a unit was split, where it was.
    pub parts: BTreeMap<usize, u128>,
    pub done: BTreeSet<usize>,
    pub open: BTreeSet<Extra>,
    /// State of the machine; absent where no check that may come needs one.
    pub at: Option<usize>,
    /// Checks taken of those that always come first.
    pub first: usize,
}

/// The members of a set of units, smallest first.
pub(super) fn bits(set: u128) -> impl Iterator<Item = usize> {
    (0..128).filter(move |unit| set >> unit & 1 == 1)
}

impl<'a> Table<'a> {
    /// Checks that the units of a proof hold every cause once, and only causes that answer alike.
    pub fn new(problem: &'a Problem, proof: &'a Proof) -> Result<Self, Wrong> {
        let count = problem.causes.len() + usize::from(problem.none_of_these.is_some());
        let named: BTreeSet<usize> = proof.units.iter().flatten().copied().collect();
        let once = proof.units.iter().map(Vec::len).sum::<usize>() == named.len();
        ensure(once && named.into_iter().eq(0..count), "the units do not hold every cause once")?;
        ensure(proof.units.len() <= 128 && proof.units.iter().all(|unit| !unit.is_empty()), "a unit is empty")?;
        for check in 0..problem.checks.len() {
            let alike = |unit: &Vec<usize>| {
                unit.iter().all(|cause| answers(problem, check, *cause) == answers(problem, check, unit[0]))
            };
            ensure(proof.units.iter().all(alike), "a unit holds causes that a check tells apart")?;
        }
        let scaled = |cause: usize| {
            let weight = weight(problem, cause).checked_mul(proof.scale)?;
            (proof.divisor > 0 && weight % proof.divisor == 0).then(|| weight / proof.divisor)
        };
        let weights = (0..=problem.causes.len()).map(scaled).collect::<Option<Vec<u128>>>();
        let leaves = |check: usize| {
            let mut sets = vec![0_u128; problem.checks[check].outcomes.len()];
            for (unit, causes) in proof.units.iter().enumerate() {
                answers(problem, check, causes[0]).into_iter().for_each(|answer| sets[answer] |= 1 << unit);
            }
            sets
        };
        let leaves: Vec<Vec<u128>> = (0..problem.checks.len()).map(leaves).collect();
        let awaited: BTreeSet<usize> = problem.checks.iter().flat_map(|check| check.after.iter().copied()).collect();
        let sharp = |check: usize| (0..proof.units.len()).all(|unit| given(&leaves[check], unit) == 1);
        let direct = direct(problem);
        let free = |check: usize| {
            direct && problem.checks[check].after.is_empty() && !awaited.contains(&check) && sharp(check)
        };
        Ok(Self {
            problem,
            units: &proof.units,
            weights: weights.ok_or(Wrong("the weights are not whole in the proof's measure"))?,
            first: pinned(problem),
            extras: (0..problem.checks.len()).map(|check| extras(problem, check)).collect(),
            free: (0..problem.checks.len()).map(free).collect(),
            leaves,
        })
    }

    /// The position before any check.
    pub fn start(&self) -> Position {
        let set = (0..self.units.len()).fold(0, |all, unit| all | 1 << unit);
        let at = Some(self.problem.states.start);
        self.forget(Position {
            set,
            parts: BTreeMap::new(),
            done: BTreeSet::new(),
            open: BTreeSet::new(),
            at,
            first: 0,
        })
    }

    /// Causes of a set of units.
    pub fn causes(&self, set: u128) -> BTreeSet<usize> {
        bits(set).flat_map(|unit| self.units[unit].iter().copied()).collect()
    }

    /// The search may stop here on one repair.
    pub fn ends(&self, place: &Position) -> bool {
        place.first == self.first.len() && may_end(self.problem, &self.causes(place.set))
    }

    /// What a unit weighs at a position.
    pub fn weight(&self, place: &Position, unit: usize) -> u128 {
        let whole: u128 = self.units[unit].iter().map(|cause| self.weights[*cause]).sum();
        whole / place.parts.get(&unit).copied().unwrap_or(1)
    }

    /// Some answer of a check leaves some of what is possible, but not all.
    pub fn tells(&self, check: usize, set: u128) -> bool {
        self.leaves[check].iter().any(|left| left & set != 0 && left & set != set)
    }

    /// Checks that tell something and were not taken, with those they wait for.
    fn wanted(&self, place: &Position) -> BTreeSet<usize> {
        if let Some(next) = self.first.get(place.first) {
            return BTreeSet::from([*next]);
        }
        let new = |check: &usize| !place.done.contains(check);
        let mut todo: Vec<usize> = (0..self.leaves.len()).filter(|check| self.tells(*check, place.set)).collect();
        let mut wanted = BTreeSet::new();
        while let Some(check) = todo.pop() {
            if new(&check) && wanted.insert(check) {
                todo.extend(&self.problem.checks[check].after);
            }
        }
        wanted
    }

    /// Checks some best tree takes from here on. One is left out where another splits at least as finely, opens nothing
    /// more, needs the same state and costs no more: its tree can be walked after the other with every set smaller.
    pub fn offered(&self, place: &Position) -> BTreeSet<usize> {
        let wanted = self.wanted(place);
        if place.first < self.first.len() {
            return wanted;
        }
        let beaten = |check: &usize| self.free[*check] && wanted.iter().any(|other| self.beats(place, *other, *check));
        wanted.iter().copied().filter(|check| !beaten(check)).collect()
    }

    fn beats(&self, place: &Position, other: usize, check: usize) -> bool {
        let (one, two) = (&self.problem.checks[other], &self.problem.checks[check]);
        let open = |extra: &Extra| place.open.contains(extra) || self.extras[check].contains(extra);
        let parts = |check: usize| self.leaves[check].iter().map(|left| left & place.set).filter(|left| *left != 0);
        self.free[other]
            && (one.seconds, &one.id) < (two.seconds, &two.id)
            && one.state == two.state
            && self.extras[other].iter().all(open)
            && parts(other).all(|fine| parts(check).any(|coarse| fine & !coarse == 0))
    }

    /// All that a check waits for was taken.
    pub fn ready(&self, place: &Position, check: usize) -> bool {
        self.problem.checks[check].after.iter().all(|earlier| place.done.contains(earlier))
    }

    /// Seconds of a check here with all that has to be done for it.
    pub fn seconds(&self, place: &Position, check: usize) -> u128 {
        let new = self.extras[check].difference(&place.open).map(|extra| u128::from(price(self.problem, *extra)));
        let to = self.problem.checks[check].state;
        let change = place.at.zip(to).map_or(0, |(at, to)| self.problem.states.change[at][to]);
        new.sum::<u128>() + u128::from(change) + u128::from(self.problem.checks[check].seconds)
    }

    /// The position after an answer; none where it is impossible or leads to another fault.
    pub fn follow(&self, place: &Position, check: usize, answer: usize) -> Result<Option<Position>, Wrong> {
        let outcome = self.problem.checks[check].outcomes.get(answer).ok_or(Wrong("an answer that is not there"))?;
        let set = self.leaves[check][answer] & place.set;
        if set == 0 || matches!(outcome.then, Then::Exit(_)) {
            return Ok(None);
        }
        let mut next = place.clone();
        next.set = set;
        for unit in bits(set).filter(|unit| given(&self.leaves[check], *unit) > 1) {
            let parts = next.parts.entry(unit).or_insert(1);
            *parts *= given(&self.leaves[check], unit) as u128;
            let whole = |cause: &usize| self.weights[*cause].is_multiple_of(*parts);
            ensure(self.units[unit].iter().all(whole), "a split is not whole in the proof's measure")?;
        }
        next.done.insert(check);
        next.open.extend(&self.extras[check]);
        next.at = self.problem.checks[check].state.or(place.at);
        next.first = (place.first + 1).min(self.first.len());
        Ok(Some(self.forget(next)))
    }

    /// Drops what no check that may still come can feel. What tells something of fewer units tells something of more, so
    /// nothing that is dropped here is missed later.
    fn forget(&self, mut place: Position) -> Position {
        place.parts.retain(|unit, _| place.set >> unit & 1 == 1);
        if place.first < self.first.len() {
            return place;
        }
        let wanted = self.wanted(&place);
        let checks = || wanted.iter().map(|check| &self.problem.checks[*check]);
        place.open.retain(|extra| wanted.iter().any(|check| self.extras[*check].contains(extra)));
        let set = place.set;
        place.done.retain(|done| self.tells(*done, set) || checks().any(|check| check.after.contains(done)));
        place.at = place.at.filter(|_| checks().any(|check| check.state.is_some()));
        place
    }
}

/// How many answers leave a unit.
fn given(leaves: &[u128], unit: usize) -> usize {
    leaves.iter().filter(|left| **left >> unit & 1 == 1).count()
}

/// No change of state is quicker by way of a third that a check needs; else leaving a check out could make a later one
/// dearer.
fn direct(problem: &Problem) -> bool {
    let change = &problem.states.change;
    let needed: BTreeSet<usize> = problem.checks.iter().filter_map(|check| check.state).collect();
    (0..change.len()).all(|from| {
        let near = |over: usize, to: usize| change[from][to] <= change[from][over].saturating_add(change[over][to]);
        needed.iter().all(|over| needed.iter().all(|to| near(*over, *to)))
    })
}
