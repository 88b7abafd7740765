//! A problem made ready for search: sorted by id, causes that no check tells apart merged, sets as bit masks,
//! weights scaled by one common factor so that every even split stays whole.

use std::collections::{BTreeMap, BTreeSet};

use super::compile::{
    access_closures, answers, common_factor, extras, mask, merge, needs, pinned, ranks, sets, sorted_by, unit, weights,
};
use super::problem::{PlanError, Problem, Then};
use super::set::{self, Set};
use super::validate::validate;

/// More units than this are planned without sets, see [`super::wide`].
pub(super) const WIDEST: usize = 128;
/// Pairs of units, counted twice, times checks that a search or a certificate may look at.
pub(super) const MOST_PAIRS: usize = 2_000_000;
/// Check answers kept in memory: units times checks.
const MOST_ANSWERS: usize = 50_000_000;
/// Checks that are always taken first.
const MOST_PINNED: usize = 256;

/// Causes that every check treats alike.
#[derive(Debug, Clone)]
pub(super) struct Unit {
    /// Scaled weight.
    pub weight: u128,
    /// Positions of the causes in the problem; `causes.len()` stands for "none of these".
    pub members: Vec<usize>,
    /// The repair of all real members; `None` for several repairs, or for "none of these" alone.
    pub repair: Option<usize>,
    /// "None of these" is among the members.
    pub none: bool,
    /// Every real member may be reached by elimination.
    pub eliminable: bool,
}

/// A check with its needs as masks.
#[derive(Debug, Clone)]
pub(super) struct Probe {
    /// Position in the problem.
    pub original: usize,
    /// Own seconds.
    pub cost: u64,
    /// Accesses (with what they need) and make-safe tasks.
    pub extras: u64,
    /// State of the machine it needs.
    pub state: Option<u8>,
    /// Checks that come before, as tracked bits.
    pub after: u128,
    /// Its own tracked bit: it is not sharp, or another check comes after it.
    pub tracked: u128,
    /// Positions of the answers in the problem, sorted by label.
    pub outcomes: Vec<usize>,
    /// Answers that lead to another fault, by place in `outcomes`.
    pub exits: u64,
    /// Units each answer leaves (narrow models only), in the order of `outcomes`.
    pub sets: Vec<Set>,
    /// Per unit, the answers that leave it, as bits over `outcomes`.
    pub answers: Vec<u64>,
}

/// The compiled problem.
#[derive(Debug, Clone)]
pub(super) struct Model {
    pub units: Vec<Unit>,
    pub probes: Vec<Probe>,
    /// Seconds per extra; accesses first, then make-safe tasks.
    pub extras: Vec<u64>,
    /// Repair seconds by position.
    pub repairs: Vec<u64>,
    /// Place of each repair when sorted by id.
    pub repair_rank: Vec<usize>,
    pub change: Vec<Vec<u64>>,
    /// No change between states that checks need is quicker by way of a third: else a check that tells nothing more than
    /// another may still be on a quicker way.
    pub direct: bool,
    pub start: u8,
    /// Places in `probes` of the checks that are always taken first, in order.
    pub pinned: Vec<usize>,
    /// Units that must not share the end of a path with this one (narrow models only).
    pub must: Vec<Set>,
    /// For each unit, the probes that are not sharp for it: (tracked bit, number of answers).
    pub splits: Vec<Vec<(u128, u32)>>,
    /// For each unit, what trying its repairs one after the other costs; 0 where the search may end on it.
    pub grouped: Vec<u128>,
    /// All weights together, scaled.
    pub total: u128,
    /// The scale: weights times this are whole.
    pub scale: u128,
    /// What the cause's given weight was divided by before scaling.
    pub divisor: u128,
    /// No cause had a weight; all were taken as equal.
    pub assumed_equal: bool,
    /// Position that stands for "none of these".
    pub none_at: usize,
    /// Repair per cause, by position in the problem.
    pub repair_of: Vec<usize>,
    /// Scaled weight per cause; "none of these" last.
    pub weight_of: Vec<u128>,
}

/// True where no change of state is quicker by way of a third. What no check needs is never entered.
fn are_direct(problem: &Problem) -> bool {
    let change = &problem.states.change;
    let entered: BTreeSet<usize> = problem.checks.iter().filter_map(|check| check.state).collect();
    let detour =
        |from: usize, over: usize, to: usize| change[from][over].saturating_add(change[over][to]) < change[from][to];
    let ways = || entered.iter().flat_map(|over| entered.iter().map(move |to| (*over, *to)));
    (0..change.len()).all(|from| !ways().any(|(over, to)| detour(from, over, to)))
}

impl Model {
    /// Least seconds to enter each state of the machine from another; entering the present one is free.
    pub fn entries(&self, at: u8) -> impl Iterator<Item = u64> + '_ {
        (0..self.change.len()).map(move |to| {
            let from = (0..self.change.len()).filter(|from| *from != to);
            if usize::from(at) == to { 0 } else { from.map(|from| self.change[from][to]).min().unwrap_or(0) }
        })
    }

    pub fn new(problem: &Problem) -> Result<Self, PlanError> {
        validate(problem)?;
        let order = sorted_by(&problem.checks, |check| &check.id);
        if order.len().saturating_mul(problem.causes.len() + 1) > MOST_ANSWERS {
            return Err(PlanError::TooLarge("too many causes times checks"));
        }
        let raw: Vec<Vec<u64>> = order.iter().map(|at| answers(problem, &problem.checks[*at])).collect();
        let members = merge(problem, &raw);
        let (weights, divisor, assumed_equal) = weights(problem);
        let scale = common_factor(&raw, &members)?;
        let weight_of = weights
            .iter()
            .map(|weight| weight.checked_mul(scale))
            .collect::<Option<Vec<u128>>>()
            .ok_or(PlanError::TooLarge("the weights have too many digits"))?;
        let mut model = Self {
            units: members.into_iter().map(|members| unit(problem, members, &weight_of)).collect(),
            probes: Vec::new(),
            extras: extras(problem)?,
            repairs: problem.repairs.iter().map(|repair| repair.seconds).collect(),
            repair_rank: ranks(&sorted_by(&problem.repairs, |repair| &repair.id)),
            change: problem.states.change.clone(),
            direct: are_direct(problem),
            start: u8::try_from(problem.states.start).unwrap_or(0),
            pinned: Vec::new(),
            must: Vec::new(),
            splits: Vec::new(),
            grouped: Vec::new(),
            total: weight_of.iter().try_fold(0_u128, |sum, weight| sum.checked_add(*weight)).unwrap_or(u128::MAX),
            scale,
            divisor,
            assumed_equal,
            none_at: problem.causes.len(),
            repair_of: problem.causes.iter().map(|cause| cause.repair).collect(),
            weight_of,
        };
        model.add_probes(problem, &order, &raw)?;
        model.pinned = pinned(problem, &order);
        // Every one of them makes the tree a level deeper, and it is grown level by level.
        if model.pinned.len() > MOST_PINNED {
            return Err(PlanError::TooLarge("more than 256 checks that always come first"));
        }
        model.add_must();
        model.grouped = (0..model.units.len())
            .map(|unit| if model.may_end([unit].into_iter()) { 0 } else { model.tried([unit].into_iter(), 0).1 })
            .collect();
        Ok(model)
    }

    pub fn narrow(&self) -> bool {
        self.units.len() <= WIDEST
    }

    /// Small enough to be searched: few units, and not too many checks for their pairs.
    pub fn searchable(&self) -> bool {
        self.narrow() && self.units.len() * self.units.len() * self.probes.len() <= MOST_PAIRS
    }

    /// The longest path anyone could walk must fit the arithmetic, with room to add several of them.
    fn check_range(&self) -> Result<(), PlanError> {
        let longest_change = self.change.iter().flatten().copied().max().unwrap_or(0);
        let seconds = (self.probes.iter().map(|probe| probe.cost))
            .chain(self.extras.iter().copied())
            .chain(self.repairs.iter().copied())
            .chain(self.probes.iter().map(|_| longest_change))
            .fold(1_u128, |sum, seconds| sum + u128::from(seconds));
        match self.total.checked_mul(seconds).and_then(|most| most.checked_mul(8)) {
            Some(_) if seconds < 1 << 62 => Ok(()),
            _ => Err(PlanError::TooLarge("weights times seconds do not fit 125 bits")),
        }
    }

    fn add_probes(&mut self, problem: &Problem, order: &[usize], raw: &[Vec<u64>]) -> Result<(), PlanError> {
        let prerequisites: Vec<usize> = problem.checks.iter().flat_map(|check| check.after.iter().copied()).collect();
        let mut bits = BTreeMap::new();
        for (at, answers) in order.iter().zip(raw) {
            if prerequisites.contains(at) || answers.iter().any(|answer| answer.count_ones() > 1) {
                bits.insert(*at, bits.len());
            }
        }
        if bits.len() > 128 {
            return Err(PlanError::TooLarge("more than 128 checks that are not sharp or come before another"));
        }
        let bit = |at: &usize| bits.get(at).map_or(0, |bit| 1_u128 << bit);
        let closed = access_closures(problem);
        for (at, raw) in order.iter().zip(raw) {
            let check = &problem.checks[*at];
            let outcomes = sorted_by(&check.outcomes, |outcome| &outcome.label);
            let answers: Vec<u64> = self.units.iter().map(|unit| raw[unit.members[0]]).collect();
            let exits = mask(outcomes.iter().map(|outcome| matches!(check.outcomes[*outcome].then, Then::Exit(_))));
            self.probes.push(Probe {
                original: *at,
                cost: check.seconds,
                extras: needs(problem, check, &closed),
                state: check.state.and_then(|state| u8::try_from(state).ok()),
                after: check.after.iter().map(bit).fold(0, |all, bit| all | bit),
                tracked: bit(at),
                sets: if self.narrow() { sets(&answers, outcomes.len()) } else { Vec::new() },
                outcomes,
                exits,
                answers,
            });
        }
        self.check_range()
    }

    /// How much finer than whole numbers a certificate may count.
    pub fn room(&self) -> u128 {
        let seconds: u128 = self.probes.iter().map(|probe| u128::from(probe.cost)).sum();
        let seconds =
            seconds + self.extras.iter().chain(&self.repairs).map(|seconds| u128::from(*seconds)).sum::<u128>();
        let most = self.total.saturating_mul(seconds.max(1)).saturating_mul(1 << 30);
        if most < u128::MAX / 4 { 1 << 20 } else { 1 }
    }

    /// The model as it stands after its pinned checks, with some of its units only.
    pub fn part(&self, units: &[usize]) -> Self {
        let probes = self.probes.iter().enumerate().map(|(place, probe)| {
            let answers: Vec<u64> = units.iter().map(|unit| probe.answers[*unit]).collect();
            let free = self.pinned.contains(&place);
            Probe {
                sets: sets(&answers, probe.outcomes.len()),
                answers,
                cost: if free { 0 } else { probe.cost },
                extras: if free { 0 } else { probe.extras },
                state: probe.state.filter(|_| !free),
                outcomes: probe.outcomes.clone(),
                ..*probe
            }
        });
        let mut part = Self {
            units: units.iter().map(|unit| self.units[*unit].clone()).collect(),
            probes: probes.collect(),
            extras: self.extras.clone(),
            repairs: self.repairs.clone(),
            repair_rank: self.repair_rank.clone(),
            change: self.change.clone(),
            pinned: Vec::new(),
            must: Vec::new(),
            splits: Vec::new(),
            grouped: Vec::new(),
            repair_of: self.repair_of.clone(),
            weight_of: self.weight_of.clone(),
            ..*self
        };
        part.add_must();
        part
    }

    fn add_must(&mut self) {
        let several = |probe: &Probe, unit: usize| probe.answers[unit].count_ones();
        self.splits = (0..self.units.len())
            .map(|unit| {
                let loose = self.probes.iter().filter(|probe| several(probe, unit) > 1);
                loose.map(|probe| (probe.tracked, several(probe, unit))).collect()
            })
            .collect();
        if !self.narrow() {
            return;
        }
        for a in 0..self.units.len() {
            let apart = (0..self.units.len()).filter(|b| a != *b && !self.may_share(a, *b) && self.tells_apart(a, *b));
            self.must.push(apart.map(set::one).fold(0, |all, one| all | one));
        }
    }

    /// Some check leaves these two in no common answer.
    fn tells_apart(&self, a: usize, b: usize) -> bool {
        self.probes.iter().any(|probe| probe.answers[a] & probe.answers[b] == 0)
    }

    fn may_share(&self, a: usize, b: usize) -> bool {
        self.may_end([a, b].into_iter())
    }

    /// These units share one repair and the search may end on it.
    pub fn may_end(&self, units: impl Iterator<Item = usize>) -> bool {
        let (mut none, mut eliminable, mut repair) = (false, true, None);
        for unit in units.map(|unit| &self.units[unit]) {
            none |= unit.none;
            if unit.none && unit.members.len() == 1 {
                continue;
            }
            eliminable &= unit.eliminable;
            match (unit.repair, repair) {
                (None, _) => return false,
                (Some(mine), Some(theirs)) if mine != theirs => return false,
                (mine, _) => repair = mine,
            }
        }
        repair.is_none() || !none || eliminable
    }

    /// Seconds of the extras in `wanted`.
    pub fn extra_seconds(&self, mut wanted: u64) -> u64 {
        let mut sum = 0_u64;
        while wanted != 0 {
            sum += self.extras[wanted.trailing_zeros() as usize];
            wanted &= wanted - 1;
        }
        sum
    }

    /// A unit's weight after the checks in `done`.
    pub fn weight(&self, unit: usize, done: u128) -> u128 {
        let weight = self.units[unit].weight;
        if done == 0 { weight } else { weight / self.share(unit, done) }
    }

    /// In how many even parts the checks in `done` have split a unit.
    pub fn share(&self, unit: usize, done: u128) -> u128 {
        let taken = self.splits[unit].iter().filter(|(bit, _)| bit & done != 0);
        taken.fold(1, |all, (_, parts)| all * u128::from(*parts))
    }

    /// Order and value of the repairs tried one after the other on units that nothing tells apart: weight times
    /// seconds over what is not cured yet, least seconds per weight first, ties by seconds and then by place.
    pub fn tried(&self, units: impl Iterator<Item = usize>, done: u128) -> (Vec<usize>, u128) {
        let mut weights: BTreeMap<usize, u128> = BTreeMap::new();
        let mut left = 0;
        for unit in units {
            let share = self.share(unit, done);
            for member in &self.units[unit].members {
                let weight = self.weight_of[*member] / share;
                left += weight;
                if *member != self.none_at {
                    *weights.entry(self.repair_of[*member]).or_insert(0) += weight;
                }
            }
        }
        let mut order: Vec<(usize, u128)> = weights.into_iter().collect();
        order.sort_by(|(a, wa), (b, wb)| {
            let (ca, cb) = (u128::from(self.repairs[*a]), u128::from(self.repairs[*b]));
            let ratio = if *wa > 0 && *wb > 0 { (ca * wb).cmp(&(cb * wa)) } else { (*wa == 0).cmp(&(*wb == 0)) };
            ratio.then(ca.cmp(&cb)).then(self.repair_rank[*a].cmp(&self.repair_rank[*b]))
        });
        let mut value = 0;
        for (repair, weight) in &order {
            value += u128::from(self.repairs[*repair]) * left;
            left -= weight;
        }
        (order.into_iter().map(|(repair, _)| repair).collect(), value)
    }
}
