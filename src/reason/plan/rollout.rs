//! Above exact size: information per second as a quick policy, and one step of looking ahead over it.

use std::collections::HashMap;

use super::hash::Quick;
use super::model::Model;
use super::problem::PlanError;
use super::set::{Set, members};
use super::state::State;

/// Positions the quick policy may open before the fault is called too large.
const MOST_POSITIONS: usize = 200_000;
/// Checks tried out at each position, best information per second first.
const WIDTH: usize = 10;

/// The quick policy and the costs it has worked out.
pub(super) struct Rollout<'a> {
    model: &'a Model,
    costs: HashMap<State, u128, Quick>,
    /// Units by repair; each unit with several repairs, and "none of these", stand alone.
    goals: Vec<Set>,
    weights: Vec<f64>,
}

impl<'a> Rollout<'a> {
    pub fn new(model: &'a Model) -> Self {
        let mut goals: Vec<(Option<usize>, Set)> = Vec::new();
        for (at, unit) in model.units.iter().enumerate() {
            match goals.iter_mut().find(|(repair, _)| unit.repair.is_some() && *repair == unit.repair) {
                Some((_, set)) => *set |= super::set::one(at),
                None => goals.push((unit.repair, super::set::one(at))),
            }
        }
        let weights = model.units.iter().map(|unit| unit.weight as f64 / model.total as f64).collect();
        Self { model, costs: HashMap::default(), goals: goals.into_iter().map(|(_, set)| set).collect(), weights }
    }

    /// The probe the quick policy takes; `None` where no check tells anything.
    pub fn quick(&self, state: &State) -> Option<usize> {
        self.ranked(state).first().map(|(_, _, _, place)| *place)
    }

    /// Ready probes by information per second, best first; a check that waits lends its rank to the one it waits for.
    fn ranked(&self, state: &State) -> Vec<(f64, u64, usize, usize)> {
        let model = self.model;
        let before = self.doubt(state, state.set);
        let mut list: Vec<(f64, u64, usize, usize)> = Vec::new();
        for (place, probe) in model.probes.iter().enumerate().filter(|(_, probe)| model.splits(probe, state)) {
            let after: f64 = probe.sets.iter().map(|set| self.doubt(state, set & state.set)).sum();
            let (first, wait) = self.first(state, place);
            let step = model.step(probe, state) + wait;
            list.push(((before - after).max(0.0) / (step.max(1) as f64), step, place, first));
        }
        list.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)).then(a.2.cmp(&b.2)));
        let mut seen = Vec::new();
        list.retain(|entry| {
            !seen.contains(&entry.3) && {
                seen.push(entry.3);
                true
            }
        });
        list
    }

    /// The check to take now so that `place` can be taken, and the seconds of all it waits for.
    fn first(&self, state: &State, place: usize) -> (usize, u64) {
        let model = self.model;
        let (mut now, mut wait) = (place, 0);
        let mut missing = model.probes[place].after & !state.done;
        let mut open: Vec<usize> = Vec::new();
        while missing != 0 {
            let bit = missing & missing.wrapping_neg();
            missing &= missing - 1;
            let Some(earlier) = model.probes.iter().position(|probe| probe.tracked == bit) else { continue };
            if open.contains(&earlier) {
                continue;
            }
            open.push(earlier);
            wait += model.probes[earlier].cost;
            missing |= model.probes[earlier].after & !state.done;
            if model.ready(&model.probes[earlier], state) && (now == place || earlier < now) {
                now = earlier;
            }
        }
        (now, wait)
    }

    /// Mass times entropy over repairs, with a grain of entropy over causes to break ties; by count where all weigh 0.
    fn doubt(&self, state: &State, set: Set) -> f64 {
        if set & set.wrapping_sub(1) == 0 {
            return 0.0;
        }
        let weightless = self.model.mass(&State { set: state.set, ..*state }) == 0;
        let weigh = |set: Set| -> f64 {
            let share = |unit: usize| self.model.share(unit, state.done) as f64;
            members(set).map(|unit| if weightless { 1.0 } else { self.weights[unit] / share(unit) }).sum()
        };
        let goals: f64 = self.goals.iter().map(|goal| weigh(goal & set)).map(times_log).sum();
        let count = f64::from(set.count_ones());
        times_log(weigh(set)) - goals + 1e-9 * times_log(count)
    }

    /// Cost of the quick policy from a settled position.
    pub fn cost(&mut self, state: &State) -> Result<u128, PlanError> {
        if self.model.ended(state.set) {
            return Ok(0);
        }
        if let Some(cost) = self.costs.get(state) {
            return Ok(*cost);
        }
        if self.costs.len() >= MOST_POSITIONS {
            return Err(PlanError::TooLarge("the answers leave too many positions open"));
        }
        let cost = match self.quick(state) {
            Some(place) => self.cost_of(state, place, &mut |rollout, state| rollout.cost(state))?,
            None => self.model.tried(members(state.set), state.done).1,
        };
        self.costs.insert(*state, cost);
        Ok(cost)
    }

    fn cost_of(
        &mut self,
        state: &State,
        place: usize,
        follow: &mut dyn FnMut(&mut Self, &State) -> Result<u128, PlanError>,
    ) -> Result<u128, PlanError> {
        let model = self.model;
        let probe = &model.probes[place];
        let mut sum = model.mass(state) * u128::from(model.step(probe, state));
        for branch in model.branches(probe, state).filter(|branch| !branch.exit) {
            sum += follow(self, &model.settle(branch.state))?;
        }
        Ok(sum)
    }

    /// The probe that is best when the quick policy, or a better cost where one is `known`, follows it.
    pub fn ahead(&mut self, state: &State, known: &dyn Fn(&State) -> Option<u128>) -> Result<Option<usize>, PlanError> {
        let ranked = self.ranked(state);
        let mut best: Option<(u128, u64, usize)> = None;
        for (_, _, _, place) in ranked.into_iter().take(WIDTH) {
            let cost = self.cost_of(state, place, &mut |rollout, state| match known(state) {
                Some(cost) => Ok(cost),
                None => rollout.cost(state),
            })?;
            let key = (cost, self.model.step(&self.model.probes[place], state), place);
            if best.is_none_or(|best| key < best) {
                best = Some(key);
            }
        }
        Ok(best.map(|(_, _, place)| place))
    }

    /// Cost of the policy that looks one step ahead at every position.
    pub fn ahead_cost(&mut self, state: &State) -> Result<u128, PlanError> {
        if self.model.ended(state.set) {
            return Ok(0);
        }
        match self.ahead(state, &|_| None)? {
            Some(place) => self.cost_of(state, place, &mut |rollout, state| rollout.ahead_cost(state)),
            None => Ok(self.model.tried(members(state.set), state.done).1),
        }
    }
}

fn times_log(x: f64) -> f64 {
    if x > 0.0 { x * log2(x) } else { 0.0 }
}

/// The same on every machine, unlike the system's: only additions, multiplications and divisions.
fn log2(x: f64) -> f64 {
    let exponent = ((x.to_bits() >> 52) & 0x7ff) as i64 - 1023;
    let mantissa = f64::from_bits((x.to_bits() & ((1 << 52) - 1)) | (1023 << 52));
    let z = (mantissa - 1.0) / (mantissa + 1.0);
    let (mut power, mut sum) = (z, 0.0);
    for odd in [1.0, 3.0, 5.0, 7.0, 9.0, 11.0, 13.0, 15.0] {
        sum += power / odd;
        power *= z * z;
    }
    exponent as f64 + sum * 2.0 / std::f64::consts::LN_2
}

#[cfg(test)]
mod tests {
    #[test]
    fn logarithm_is_close_enough_to_rank_with() {
        for x in [1e-9, 0.3, 0.5, 1.0, 1.5, 1.99999, 7.0, 1e20] {
            assert!((super::log2(x) - f64::log2(x)).abs() < 1e-7, "{x}");
        }
    }
}
