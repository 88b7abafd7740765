//! Branch and bound over memoised positions, best-ranked checks first, with limits passed down.
//!
//! A limit is inclusive: a position is solved when its cost is at most the limit; otherwise a lower bound above the
//! limit comes back. Candidates of equal cost are told apart by the seconds of the step and then by id, so the tree
//! does not depend on the order of the search.
//!
//! The page script searches the same positions with the pair covering alone: what is proved is the same, whatever the
//! bound. It leaves out what [`super::deepen`] adds.

use std::collections::HashMap;

use super::bounds::cover::{Cover, floor};
use super::bounds::huffman;
use super::hash::Quick;
use super::model::Model;
use super::set::members;
use super::state::{Branch, State};

/// What is known about a position.
#[derive(Debug, Clone, Copy)]
struct Known {
    lower: u128,
    /// The best probe, once `lower` is the exact cost.
    best: Option<u16>,
    solved: bool,
}

/// Cost of a position, or a lower bound above the limit it was asked with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Found {
    /// The exact cost.
    Exact(u128),
    /// It costs at least this, which is more than the limit.
    Over(u128),
    /// The budget ran out; at least this.
    Spent(u128),
}

/// Sweeps of re-sharing per position.
const SWEEPS: usize = 4;
/// Sharpness of re-sharing that starts from a position above.
const START: u32 = 3;
/// Sweeps at the first position.
const FIRST_SWEEPS: usize = 30;
/// Positions with no more units than this are tried out without the pair bound.
const FEW: u32 = 3;

/// The search and its memory.
pub(super) struct Search<'a> {
    model: &'a Model,
    known: HashMap<State, Known, Quick>,
    /// Positions opened so far.
    pub nodes: u64,
    budget: u64,
    /// Work done so far, and how much may be: pairs of units, counted twice, times checks, over all positions opened.
    pub work: u64,
    most_work: u64,
}

/// One check that could be taken, with a first lower bound.
struct Candidate {
    probe: u16,
    step: u64,
    branches: Vec<(Branch, u128)>,
    lower: u128,
}

/// What a check opens, and the state it brings the machine into.
type Opening = (u64, Option<u8>);

/// A position opened up: its useful probes without the dominated ones.
pub(super) struct Scene {
    pub state: State,
    useful: Vec<u16>,
    probes: Vec<u16>,
    splitting: bool,
    /// Some check waits for another.
    waits: bool,
}

impl Scene {
    pub fn new(model: &Model, state: State) -> Self {
        let useful = model.useful(&state);
        let splitting = useful.iter().any(|at| model.splits(&model.probes[usize::from(*at)], &state));
        let probes = super::dominance::undominated(model, &state, &useful);
        let waits = useful.iter().any(|at| model.probes[usize::from(*at)].after != 0);
        Self { state, useful, probes, splitting, waits }
    }

    /// Useful probes without the dominated ones.
    pub fn probes(&self) -> &[u16] {
        &self.probes
    }

    /// Some check tells something here.
    pub fn splitting(&self) -> bool {
        self.splitting
    }

    /// The settled position behind a branch of one of this scene's probes.
    pub fn behind(&self, model: &Model, branch: &Branch) -> State {
        if branch.state.done != 0 || self.waits {
            return model.settle(branch.state);
        }
        // Only what is open, or the state the machine is in, can be forgotten: look no further than that takes.
        let State { set, done, open, at } = branch.state;
        let (mut unneeded, mut stays) = (open, at == 0);
        for probe in self.useful.iter().map(|at| &model.probes[usize::from(*at)]) {
            if unneeded == 0 && stays {
                break;
            }
            let asks = probe.extras & unneeded != 0 || !stays && probe.state.is_some();
            if asks && model.splits(probe, &branch.state) {
                unneeded &= !probe.extras;
                stays |= probe.state.is_some();
            }
        }
        State { set, done, open: open & !unneeded, at: if stays { at } else { 0 } }
    }
}

/// What opening a position takes; the fixed part was measured on small positions.
fn work(model: &Model, scene: &Scene) -> u64 {
    let units = u64::from(scene.state.set.count_ones());
    let closed = model.extras.len() as u64 - u64::from(scene.state.open.count_ones());
    units * units * scene.probes.len() as u64 + 7_000 + 1_500 * closed
}

impl<'a> Search<'a> {
    pub fn new(model: &'a Model, budget: u64) -> Self {
        Self { model, known: HashMap::default(), nodes: 0, budget, work: 0, most_work: u64::MAX }
    }

    /// Stops opening positions once this much work has been done.
    pub fn until(&mut self, work: u64) {
        self.most_work = work;
    }

    /// The exact cost of a settled position if it is at most `limit`.
    pub fn solve(&mut self, state: State, limit: u128, above: Option<&Cover>) -> Found {
        if self.model.ended(state.set) {
            return Found::Exact(0);
        }
        if let Some(known) = self.known.get(&state) {
            if known.solved {
                return self.judge(known.lower, limit);
            }
            if known.lower > limit {
                return Found::Over(known.lower);
            }
        }
        let scene = Scene::new(self.model, state);
        if !scene.splitting {
            let (_, value) = self.model.tried(members(state.set), state.done);
            self.known.insert(state, Known { lower: value, best: None, solved: true });
            return self.judge(value, limit);
        }
        self.open(&scene, limit, above)
    }

    /// The best probe of a solved position; none where the path ends.
    pub fn best(&self, state: &State) -> Option<u16> {
        self.known.get(state).filter(|known| known.solved).and_then(|known| known.best)
    }

    /// The exact cost of a position that was solved.
    pub fn value(&self, state: &State) -> Option<u128> {
        if self.model.ended(state.set) {
            return Some(0);
        }
        self.known.get(state).filter(|known| known.solved).map(|known| known.lower)
    }

    /// What a position is known to cost at least.
    pub fn lower(&self, state: &State) -> u128 {
        self.known.get(state).map_or(0, |known| known.lower)
    }

    fn judge(&self, value: u128, limit: u128) -> Found {
        if value <= limit { Found::Exact(value) } else { Found::Over(value) }
    }

    fn raise(&mut self, state: State, lower: u128) -> u128 {
        let known = self.known.entry(state).or_insert(Known { lower, best: None, solved: false });
        known.lower = known.lower.max(lower);
        known.lower
    }

    fn open(&mut self, scene: &Scene, limit: u128, above: Option<&Cover>) -> Found {
        let cheap = self.cheap(scene);
        let lower = self.raise(scene.state, cheap);
        if lower > limit {
            return Found::Over(lower);
        }
        if self.nodes >= self.budget || self.work >= self.most_work {
            return Found::Spent(lower);
        }
        self.nodes += 1;
        self.work += work(self.model, scene);
        if scene.state.set.count_ones() <= FEW {
            let candidates = self.candidates(scene, None);
            return self.try_all(scene, None, candidates, limit);
        }
        let mut cover = Cover::new(self.model, &scene.state, &scene.probes, above);
        let base = self.grouped(&scene.state);
        let (from, sweeps) = if above.is_none() { (1, FIRST_SWEEPS) } else { (START, SWEEPS) };
        let target = limit.saturating_sub(base).saturating_add(1) as f64 * (1.0 + 2e-9);
        let value = floor(cover.improve(from, sweeps, target)) + base;
        let lower = self.raise(scene.state, value);
        if lower > limit {
            return Found::Over(lower);
        }
        let candidates = self.candidates(scene, Some(&cover));
        self.try_all(scene, Some(&cover), candidates, limit)
    }

    fn try_all(&mut self, scene: &Scene, cover: Option<&Cover>, candidates: Vec<Candidate>, limit: u128) -> Found {
        let mut best: Option<(u128, u64, u16)> = None;
        let mut lower = u128::MAX;
        let mut spent = false;
        for candidate in candidates {
            let ahead = |cost: u128| match best {
                Some(best) => (cost, candidate.step, candidate.probe) < best,
                None => cost <= limit,
            };
            if !ahead(candidate.lower) {
                lower = lower.min(candidate.lower);
                continue;
            }
            let cap = best.map_or(limit, |(cost, step, probe)| {
                if (candidate.step, candidate.probe) < (step, probe) { cost } else { cost.saturating_sub(1) }
            });
            match self.descend(&candidate, cover, cap) {
                Found::Exact(cost) => best = Some((cost, candidate.step, candidate.probe)),
                Found::Over(cost) => lower = lower.min(cost),
                Found::Spent(cost) => {
                    lower = lower.min(cost);
                    spent = true;
                }
            }
        }
        match best {
            Some((cost, _, probe)) if !spent || lower >= cost => {
                self.known.insert(scene.state, Known { lower: cost, best: Some(probe), solved: true });
                Found::Exact(cost)
            }
            Some((cost, ..)) => Found::Spent(self.raise(scene.state, lower.min(cost))),
            None if spent => Found::Spent(self.raise(scene.state, lower)),
            None => Found::Over(self.raise(scene.state, lower)),
        }
    }

    /// Solves what follows one candidate, the heaviest branch first, as long as the sum may stay within `cap`.
    fn descend(&mut self, candidate: &Candidate, cover: Option<&Cover>, cap: u128) -> Found {
        let mut sum = candidate.lower;
        if sum > cap {
            return Found::Over(sum);
        }
        let mut spent = false;
        let mut order: Vec<&(Branch, u128)> = candidate.branches.iter().collect();
        order.sort_by_key(|(branch, _)| branch.state.set.count_ones());
        for (branch, lower) in order {
            let found = self.solve(branch.state, cap - sum + lower, cover);
            match found {
                Found::Exact(cost) | Found::Over(cost) => sum = sum - lower + cost.max(*lower),
                Found::Spent(cost) => {
                    sum = sum - lower + cost.max(*lower);
                    spent = true;
                }
            }
            if sum > cap {
                return Found::Over(sum);
            }
        }
        if spent { Found::Spent(sum) } else { Found::Exact(sum) }
    }

    /// A bound that needs no sweeps.
    pub fn cheap(&self, scene: &Scene) -> u128 {
        let model = self.model;
        let splitting = scene.probes.iter().map(|at| &model.probes[usize::from(*at)]);
        let splitting = splitting.filter(|probe| model.splits(probe, &scene.state));
        let (mut costs, mut arity) = (Vec::new(), 2);
        for probe in splitting {
            costs.push(probe.cost);
            arity = arity.max(probe.sets.iter().filter(|set| *set & scene.state.set != 0).count());
        }
        costs.sort_unstable();
        huffman::bound(huffman::groups(model, &scene.state), &costs, arity) + self.grouped(&scene.state)
    }

    /// What trying repairs costs for the units that hold causes nothing tells apart, whatever the tree.
    pub fn grouped(&self, state: &State) -> u128 {
        members(state.set)
            .filter(|unit| self.model.grouped[*unit] > 0)
            .map(|unit| self.model.grouped[unit] / self.model.share(unit, state.done))
            .sum()
    }

    fn candidates(&self, scene: &Scene, cover: Option<&Cover>) -> Vec<Candidate> {
        let model = self.model;
        let mass = model.mass(&scene.state);
        let mut tables: Vec<(Opening, Vec<f64>)> = Vec::new();
        let mut list = Vec::new();
        for at in &scene.probes {
            let probe = &model.probes[usize::from(*at)];
            if !model.ready(probe, &scene.state) {
                continue;
            }
            let key = (probe.extras & !scene.state.open, probe.state.filter(|to| *to != scene.state.at));
            if let Some(cover) = cover.filter(|_| !tables.iter().any(|(other, _)| *other == key)) {
                let values = cover.values_with(key.0, key.1, model.extras.len());
                tables.push((key, cover.table(&values)));
            }
            let table = tables.iter().find(|(other, _)| *other == key).map_or(&[][..], |(_, table)| table);
            list.push(self.candidate(scene, *at, mass, cover, table));
        }
        list.sort_by_key(|candidate| (candidate.lower, candidate.step, candidate.probe));
        list
    }

    fn candidate(&self, scene: &Scene, at: u16, mass: u128, cover: Option<&Cover>, table: &[f64]) -> Candidate {
        let model = self.model;
        let probe = &model.probes[usize::from(at)];
        let step = model.step(probe, &scene.state);
        let own = mass * u128::from(step);
        let mut lower = own;
        let mut branches = Vec::new();
        for branch in model.branches(probe, &scene.state).filter(|branch| !branch.exit) {
            let state = scene.behind(model, &branch);
            if model.ended(state.set) {
                continue;
            }
            let least = self.inherited(&scene.state, &state, probe.tracked, cover, table);
            lower += least;
            branches.push((Branch { state, ..branch }, least));
        }
        Candidate { probe: at, step, branches, lower }
    }

    /// The parent's dual restricted to a child, or what is already known of it.
    fn inherited(&self, parent: &State, child: &State, tracked: u128, cover: Option<&Cover>, table: &[f64]) -> u128 {
        if let Some(known) = self.known.get(child) {
            return known.lower;
        }
        let Some(cover) = cover else { return self.grouped(child) };
        let count = cover.units().len();
        let places: Vec<usize> = (0..count).filter(|place| child.set >> cover.units()[*place] & 1 == 1).collect();
        let mut sum = 0.0;
        for (nth, a) in places.iter().enumerate() {
            for b in &places[nth + 1..] {
                sum += table[a * count + b];
            }
        }
        if tracked != 0 {
            let parts =
                |unit| self.model.share(unit, child.done | tracked) / self.model.share(unit, parent.done).max(1);
            let most = members(child.set).map(parts).max().unwrap_or(1);
            sum /= most as f64;
        }
        floor(sum) + self.grouped(child)
    }
}
