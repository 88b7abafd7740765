//! Faults where every check shows one cause: a path of checks, with causes of one repair left over at its end.
//!
//! Every answer but one of each check leaves a single unit, so any tree is a path and has one end where several units
//! may be left; they share a repair. Two units that are not both of that repair are therefore told apart somewhere,
//! even when they share another repair, which the pair covering on its own does not know. The bound is the least over
//! the repairs that may be left over; only faults above exact size are asked about it. The trees are the order of
//! likelihood per second (Smith 1956, cited from memory) with one repair's causes kept for the end, but for those that
//! are worth a check of their own.

use super::bounds::cover::{Cover, floor};
use super::choice::{self, Costs};
use super::model::Model;
use super::problem::Problem;
use super::set::{Set, members, one};
use super::tree::Tree;
use super::wide;

/// Sweeps over all repairs that may be left over, and for each of them at most.
const SWEEPS: usize = 1_600;
const MOST_SWEEPS: usize = 100;
/// How often every unit is tried at the end and with a check of its own.
const ROUNDS: usize = 3;

/// Whether every check shows one unit and nothing else stands in the way.
pub(super) fn applies(model: &Model) -> bool {
    let single = |set: &Set| set & set.wrapping_sub(1) == 0;
    model.narrow()
        && model.pinned.is_empty()
        && model.probes.iter().all(|probe| {
            let sharp = probe.answers.iter().all(|answers| answers.count_ones() == 1);
            let parts = probe.sets.iter().filter(|set| **set != 0).count();
            probe.exits == 0 && sharp && parts <= 2 && probe.sets.iter().filter(|set| !single(set)).count() <= 1
        })
}

/// The units that may be left over together, by repair.
fn leftovers(model: &Model) -> Vec<Set> {
    let mut sets = vec![0; model.repairs.len() + 1];
    for (at, unit) in model.units.iter().enumerate() {
        match unit.repair {
            Some(repair) => sets[repair] |= one(at),
            None if unit.none => sets.iter_mut().for_each(|set| *set |= one(at)),
            None => sets.push(one(at)),
        }
    }
    sets
}

/// No tree costs less, in scaled weight times seconds.
pub(super) fn bound(model: &Model) -> u128 {
    let probes: Vec<u16> = (0..model.probes.len() as u16).collect();
    let state = model.root();
    let certain: u128 = model.grouped.iter().sum();
    let sweeps = (SWEEPS / (model.repairs.len() + 1)).clamp(5, MOST_SWEEPS);
    let shared = |left: Set| {
        let apart = |unit: usize| state.set & !one(unit) & if left & one(unit) != 0 { !left } else { Set::MAX };
        let apart: Vec<Set> = (0..model.units.len()).map(apart).collect();
        floor(Cover::apart(model, &state, &probes, None, &apart).improve(1, sweeps, f64::INFINITY))
    };
    let own = Own::new(model);
    let leftovers = leftovers(model);
    let priced = model.extras.iter().any(|seconds| *seconds > 0);
    let least = |left: Set| own.least(left).map(|(own, _)| own.max(if priced { shared(left) } else { 0 }));
    leftovers.into_iter().filter_map(least).min().unwrap_or(0) + certain
}

/// Weights, and the seconds of the cheapest check that shows each unit, without access: what that costs in any order.
struct Own {
    weights: Vec<u128>,
    seconds: Vec<Option<u128>>,
}

impl Own {
    fn new(model: &Model) -> Self {
        let mut seconds = vec![None; model.units.len()];
        for probe in &model.probes {
            for set in probe.sets.iter().filter(|set| set.count_ones() == 1) {
                let least: &mut Option<u128> = &mut seconds[set.trailing_zeros() as usize];
                *least = Some(least.map_or(u128::MAX, |least| least).min(u128::from(probe.cost)));
            }
        }
        Self { weights: model.units.iter().map(|unit| unit.weight).collect(), seconds }
    }

    /// Of two units that are both shown, the one that comes first is on the other's path.
    fn pair(&self, a: usize, b: usize) -> u128 {
        self.wait(a, b).min(self.wait(b, a))
    }

    /// The check of `first` on the path of `then`.
    fn wait(&self, first: usize, then: usize) -> u128 {
        self.seconds[first].map_or(u128::MAX, |seconds| seconds * self.weights[then])
    }

    /// The least where only units of `left` may be left over, and which are then; none where a unit outside has no check.
    fn least(&self, left: Set) -> Option<(u128, Option<Set>)> {
        let all = 0..self.weights.len();
        let (inside, outside): (Vec<usize>, Vec<usize>) = all.partition(|unit| left & one(*unit) != 0);
        if outside.iter().any(|unit| self.seconds[*unit].is_none()) {
            return None;
        }
        let mut sum = 0;
        for (at, unit) in outside.iter().enumerate() {
            sum +=
                self.wait(*unit, *unit) + outside[at + 1..].iter().map(|other| self.pair(*unit, *other)).sum::<u128>();
        }
        let (added, kept) = choice::least(&self.inside(&inside, &outside));
        let kept = kept.map(|kept| members(kept).fold(0, |all, place| all | one(inside[place])));
        Some((sum + added, kept))
    }

    /// What the units that may be left over add.
    fn inside(&self, inside: &[usize], outside: &[usize]) -> Costs {
        let kept = |unit: &usize| outside.iter().map(|other| self.wait(*other, *unit)).sum::<u128>();
        let shown = |unit: &usize| {
            self.seconds[*unit]
                .map(|_| self.wait(*unit, *unit) + outside.iter().map(|other| self.pair(*other, *unit)).sum::<u128>())
        };
        Costs {
            kept: inside.iter().map(kept).collect(),
            shown: inside.iter().map(shown).collect(),
            wait: inside.iter().map(|a| inside.iter().map(|b| self.wait(*a, *b)).collect()).collect(),
        }
    }
}

/// The cheapest of the trees described above.
pub(super) fn tree(problem: &Problem, model: &Model) -> Option<Tree> {
    let own = Own::new(model);
    let trees = leftovers(model).into_iter().flat_map(|left| {
        let proposed = own.least(left).and_then(|(_, kept)| kept).filter(|kept| *kept != left);
        [Some(left), proposed].into_iter().flatten().filter_map(move |kept| improved(problem, model, left, kept))
    });
    trees.min_by_key(|(cost, _)| *cost).map(|(_, tree)| tree)
}

/// Starts with `kept` kept for the end, and moves single units of `left` there or away while that saves anything.
fn improved(problem: &Problem, model: &Model, left: Set, kept: Set) -> Option<(u128, Tree)> {
    let walk = |kept: Set| {
        let tree = wide::walk(problem, model, &wide::order(model, &ranked(model, kept))).ok()?;
        Some((tree.cost(problem), tree))
    };
    let (mut kept, mut best) = (kept, walk(kept)?);
    for _ in 0..ROUNDS {
        let before = best.0;
        for unit in members(left) {
            if let Some(other) = walk(kept ^ one(unit)).filter(|other| other.0 < best.0) {
                (kept, best) = (kept ^ one(unit), other);
            }
        }
        if best.0 == before {
            break;
        }
    }
    Some(best)
}

/// Places of the probes, most likelihood per second first, those of what is kept for the end last.
fn ranked(model: &Model, kept: Set) -> Vec<usize> {
    let weight = |unit: usize| model.units[unit].weight;
    let seconds = |place: usize| u128::from(model.step_untouched(&model.probes[place]));
    let mut ranked: Vec<(bool, usize, usize)> = (0..model.probes.len())
        .filter_map(|place| shown(model, place).map(|unit| (kept & one(unit) != 0, place, unit)))
        .collect();
    ranked.sort_by(|(last, a, one), (late, b, two)| {
        let cross = (weight(*two) * seconds(*a)).cmp(&(weight(*one) * seconds(*b)));
        last.cmp(late).then(cross).then(a.cmp(b))
    });
    ranked.into_iter().map(|(_, place, _)| place).collect()
}

/// The unit a probe shows.
fn shown(model: &Model, place: usize) -> Option<usize> {
    let sets = model.probes[place].sets.iter().filter(|set| set.count_ones() == 1);
    sets.map(|set| set.trailing_zeros() as usize).max_by_key(|unit| model.units[*unit].weight)
}
