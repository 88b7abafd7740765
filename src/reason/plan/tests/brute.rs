//! The least expected cost by trying everything, written from the definition: no merging, no bounds, no scaling.

use std::collections::BTreeMap;

use num_rational::Ratio;

use crate::reason::plan::{Problem, Then};

type Weights = BTreeMap<usize, Ratio<u128>>;

pub struct Brute<'a> {
    problem: &'a Problem,
    memo: BTreeMap<(u32, Vec<usize>, usize), Ratio<u128>>,
}

/// Expected seconds of the best tree.
pub fn expected(problem: &Problem) -> Ratio<u128> {
    let all_zero = problem.causes.iter().all(|cause| cause.weight == 0) && problem.none_of_these.unwrap_or(0) == 0;
    let weight = |weight: u128| Ratio::from(if all_zero { 1 } else { weight });
    let mut weights: Weights = problem.causes.iter().map(|cause| weight(cause.weight)).enumerate().collect();
    if let Some(none) = problem.none_of_these {
        weights.insert(problem.causes.len(), Ratio::from(none));
    }
    let total: Ratio<u128> = weights.values().sum();
    let mut brute = Brute { problem, memo: BTreeMap::new() };
    let mut first = Vec::new();
    (0..problem.checks.len()).filter(|at| problem.checks[*at].first).for_each(|at| brute.queue(at, &mut first));
    brute.pinned(&weights, Vec::new(), problem.states.start, &first) / total
}

impl Brute<'_> {
    fn queue(&self, at: usize, list: &mut Vec<usize>) {
        for earlier in &self.problem.checks[at].after {
            self.queue(*earlier, list);
        }
        if !list.contains(&at) {
            list.push(at);
        }
    }

    fn pinned(&mut self, weights: &Weights, taken: Vec<usize>, at: usize, first: &[usize]) -> Ratio<u128> {
        match first.split_first() {
            None => self.value(weights, &taken, at),
            Some((next, rest)) => {
                let mut sum = self.price(*next, &taken, at) * weights.values().sum::<Ratio<u128>>();
                let (then, to) = (with(&taken, *next), self.problem.checks[*next].state.unwrap_or(at));
                for (left, exit) in self.split(*next, weights) {
                    if !exit && !left.is_empty() {
                        sum += self.pinned(&left, then.clone(), to, rest);
                    }
                }
                sum
            }
        }
    }

    fn value(&mut self, weights: &Weights, taken: &[usize], at: usize) -> Ratio<u128> {
        if self.ends(weights) {
            return Ratio::from(0);
        }
        let key = (weights.keys().map(|cause| 1 << cause).sum(), taken.to_vec(), at);
        if let Some(value) = self.memo.get(&key) {
            return *value;
        }
        let mass: Ratio<u128> = weights.values().sum();
        let mut wanted: Vec<usize> =
            (0..self.problem.checks.len()).filter(|check| self.tells(*check, weights, taken)).collect();
        if wanted.is_empty() {
            let value = self.try_repairs(weights);
            self.memo.insert(key, value);
            return value;
        }
        let mut place = 0;
        while place < wanted.len() {
            for earlier in &self.problem.checks[wanted[place]].after {
                if !taken.contains(earlier) && !wanted.contains(earlier) {
                    wanted.push(*earlier);
                }
            }
            place += 1;
        }
        let ready = |check: &usize| self.problem.checks[*check].after.iter().all(|earlier| taken.contains(earlier));
        let ready: Vec<usize> = wanted.into_iter().filter(ready).collect();
        let mut best: Option<Ratio<u128>> = None;
        for check in ready {
            let mut sum = self.price(check, taken, at) * mass;
            let to = self.problem.checks[check].state.unwrap_or(at);
            for (left, exit) in self.split(check, weights) {
                if !exit && !left.is_empty() {
                    sum += self.value(&left, &with(taken, check), to);
                }
            }
            best = Some(best.map_or(sum, |best| best.min(sum)));
        }
        let best = best.unwrap();
        self.memo.insert(key, best);
        best
    }

    fn ends(&self, weights: &Weights) -> bool {
        let n = self.problem.causes.len();
        let real: Vec<usize> = weights.keys().copied().filter(|cause| *cause < n).collect();
        let same = real.iter().all(|cause| self.problem.causes[*cause].repair == self.problem.causes[real[0]].repair);
        same && (!weights.contains_key(&n) || real.iter().all(|cause| self.problem.causes[*cause].by_elimination))
    }

    fn leaves(&self, check: usize, outcome: usize, cause: usize) -> bool {
        let outcome = &self.problem.checks[check].outcomes[outcome];
        if cause == self.problem.causes.len() {
            return outcome.none;
        }
        matches!(&outcome.then, Then::Leaves(list) if list.contains(&cause))
    }

    fn split(&self, check: usize, weights: &Weights) -> Vec<(Weights, bool)> {
        let outcomes = &self.problem.checks[check].outcomes;
        let parts = |cause: usize| (0..outcomes.len()).filter(|at| self.leaves(check, *at, cause)).count() as u128;
        let left = |at: usize| -> Weights {
            let stays = weights.iter().filter(|(cause, _)| self.leaves(check, at, **cause));
            stays.map(|(cause, weight)| (*cause, weight / Ratio::from(parts(*cause)))).collect()
        };
        (0..outcomes.len()).map(|at| (left(at), matches!(outcomes[at].then, Then::Exit(_)))).collect()
    }

    fn tells(&self, check: usize, weights: &Weights, taken: &[usize]) -> bool {
        !taken.contains(&check)
            && self.split(check, weights).iter().any(|(left, _)| !left.is_empty() && left.len() < weights.len())
    }

    fn price(&self, check: usize, taken: &[usize], at: usize) -> Ratio<u128> {
        let (access, tasks) = self.opened(&with(taken, check));
        let (access_before, tasks_before) = self.opened(taken);
        let new =
            access.iter().filter(|one| !access_before.contains(one)).map(|one| self.problem.accesses[*one].seconds);
        let safe = tasks.iter().filter(|one| !tasks_before.contains(one)).map(|one| self.problem.tasks[*one].seconds);
        let change = self.problem.checks[check].state.map_or(0, |to| self.problem.states.change[at][to]);
        Ratio::from(u128::from(self.problem.checks[check].seconds + new.sum::<u64>() + safe.sum::<u64>() + change))
    }

    fn opened(&self, taken: &[usize]) -> (Vec<usize>, Vec<usize>) {
        let (mut access, mut tasks) = (Vec::new(), Vec::new());
        let mut todo: Vec<usize> =
            taken.iter().flat_map(|check| self.problem.checks[*check].accesses.clone()).collect();
        while let Some(one) = todo.pop() {
            if !access.contains(&one) {
                access.push(one);
                todo.extend(&self.problem.accesses[one].needs);
            }
        }
        for task in taken.iter().flat_map(|check| &self.problem.checks[*check].make_safe) {
            if !tasks.contains(task) {
                tasks.push(*task);
            }
        }
        (access, tasks)
    }

    /// The least over every order of the repairs, which must be what p/c order gives.
    fn try_repairs(&self, weights: &Weights) -> Ratio<u128> {
        let n = self.problem.causes.len();
        let mut repairs: Vec<usize> =
            weights.keys().filter(|cause| **cause < n).map(|cause| self.problem.causes[*cause].repair).collect();
        repairs.sort_unstable();
        repairs.dedup();
        self.orders(&repairs, weights)
    }

    fn orders(&self, repairs: &[usize], left: &Weights) -> Ratio<u128> {
        let mass: Ratio<u128> = left.values().sum();
        let tries = repairs.iter().map(|repair| {
            let rest: Vec<usize> = repairs.iter().copied().filter(|other| other != repair).collect();
            let cured = |cause: &usize| self.problem.causes.get(*cause).is_some_and(|cause| cause.repair == *repair);
            let uncured =
                left.iter().filter(|(cause, _)| !cured(cause)).map(|(cause, weight)| (*cause, *weight)).collect();
            mass * Ratio::from(u128::from(self.problem.repairs[*repair].seconds)) + self.orders(&rest, &uncured)
        });
        tries.min().unwrap_or(Ratio::from(0))
    }
}

fn with(taken: &[usize], check: usize) -> Vec<usize> {
    let mut taken = taken.to_vec();
    taken.push(check);
    taken.sort_unstable();
    taken.dedup();
    taken
}
