//! Writes down what a search has found as a proof that [`super::verify`] can check.
//!
//! The search says how much a position is worth; here a reason is looked for that says so too, the shortest first: one of
//! the two bounds, or all checks that may be taken. Only what the proof needs is claimed of a position, and a second,
//! higher claim is added where it is needed. Nothing here is trusted: what does not hold is refused by the verifier.

use std::collections::HashMap;

use super::bounds::cover::Cover;
use super::certificate::extra_name;
use super::hash::Quick;
use super::model::Model;
use super::problem::{PlanError, Problem};
use super::proof::{Because, Claim, Pair, Pairs, Proof, Taken};
use super::search::{Found, Scene, Search};
use super::set::members;
use super::solve::{Options, search_for};
use super::state::{Branch, State};

/// A proof with more claims, or more numbers in them, is not written down.
pub const MOST_CLAIMS: usize = 20_000;
/// See [`MOST_CLAIMS`].
pub const MOST_NUMBERS: usize = 2_000_000;
/// Sharpness of re-sharing and its sweeps, one after the other until the pairs are worth enough.
const SWEEPS: [(u32, usize); 5] = [(1, 10), (2, 10), (3, 20), (4, 40), (5, 80)];

/// The proof that no tree takes fewer expected seconds than the plan's lower bound by search. `None` where it would be
/// larger than [`MOST_CLAIMS`] and [`MOST_NUMBERS`] allow, or the search itself was given up.
///
/// # Errors
/// As for [`super::solve`].
pub fn prove(problem: &Problem, options: &Options) -> Result<Option<Proof>, PlanError> {
    let model = Model::new(problem)?;
    if !model.searchable() {
        return Ok(None);
    }
    let mut search = search_for(&model, options);
    let target = match super::solve::search_all(&model, &mut search)? {
        Found::Exact(cost) | Found::Over(cost) | Found::Spent(cost) => cost,
    };
    let mut prover =
        Prover { problem, model: &model, search, claims: Vec::new(), known: HashMap::default(), numbers: 0 };
    let units = model.units.iter().map(|unit| unit.members.clone()).collect();
    let empty = Proof { scale: model.scale, divisor: model.divisor, units, claims: Vec::new() };
    let Some(shown) = prover.raise(model.root(), 0, target) else { return Ok(None) };
    let claims = shown.claim.map(|root| needed(prover.claims, root)).unwrap_or_default();
    Ok(Some(Proof { claims, ..empty }))
}

/// What a position has been shown to cost at least.
#[derive(Debug, Clone, Copy)]
struct Shown {
    claim: Option<usize>,
    bound: u128,
}

const NOTHING: Shown = Shown { claim: None, bound: 0 };

struct Prover<'a> {
    problem: &'a Problem,
    model: &'a Model,
    search: Search<'a>,
    /// Claims stand after those they refer to, until the end.
    claims: Vec<Claim>,
    known: HashMap<State, Shown, Quick>,
    numbers: usize,
}

impl Prover<'_> {
    /// Shows that a position costs at least `target`; `first` checks that always come first have been taken.
    fn raise(&mut self, state: State, first: usize, target: u128) -> Option<Shown> {
        if target == 0 {
            return Some(NOTHING);
        }
        if let Some(place) = self.model.pinned.get(first) {
            return self.by_checks(&state, &[*place as u16], first + 1, target).and_then(|new| self.add(new));
        }
        let state = self.model.settle(state);
        if let Some(known) = self.known.get(&state).filter(|known| known.bound >= target) {
            return Some(*known);
        }
        if self.model.ended(state.set) {
            return None;
        }
        let new = self.reason(&state, first, target)?;
        let shown = self.add(new)?;
        self.known.insert(state, shown);
        Some(shown)
    }

    fn add(&mut self, new: Claim) -> Option<Shown> {
        self.numbers += new.because.numbers();
        if self.claims.len() >= MOST_CLAIMS || self.numbers > MOST_NUMBERS {
            return None;
        }
        let shown = Shown { claim: Some(self.claims.len()), bound: new.bound };
        self.claims.push(new);
        Some(shown)
    }

    fn reason(&mut self, state: &State, first: usize, target: u128) -> Option<Claim> {
        let scene = Scene::new(self.model, *state);
        if !scene.splitting() {
            let (_, bound) = self.model.tried(members(state.set), state.done);
            return Some(Claim { bound, because: Because::Tried }).filter(|claim| claim.bound >= target);
        }
        let bound = self.search.cheap(&scene);
        if bound >= target {
            return Some(Claim { bound, because: Because::Levels });
        }
        match self.by_pairs(state, scene.probes(), target) {
            Some(claim) => Some(claim),
            None => self.by_checks(state, scene.probes(), first, target),
        }
    }

    fn by_pairs(&self, state: &State, probes: &[u16], target: u128) -> Option<Claim> {
        let base = self.search.grouped(state);
        let mut cover = Cover::new(self.model, state, probes, None);
        for (sharpness, sweeps) in SWEEPS {
            let value = cover.improve(sharpness, sweeps, f64::INFINITY);
            if value * (1.0 + 1e-6) + 1.0 >= target.saturating_sub(base) as f64 {
                let (worth, pairs) = self.write(state, probes, &cover);
                if worth + base >= target {
                    return Some(Claim { bound: worth + base, because: Because::Pairs(pairs) });
                }
            }
        }
        None
    }

    /// Rounds a dual point down to whole numbers that keep every budget and leave nothing lent that is not given away.
    fn write(&self, state: &State, probes: &[u16], cover: &Cover) -> (u128, Pairs) {
        let (model, room, count) = (self.model, self.model.room(), cover.units().len());
        let whole = |amount: f64| (amount * room as f64 * (1.0 - 1e-9)).floor().max(0.0) as u128;
        let row = |place: usize| probes.binary_search(&(place as u16)).unwrap_or(0) * count;
        let mut own = Vec::with_capacity(probes.len() * count);
        for probe in probes.iter().map(|at| &model.probes[usize::from(*at)]) {
            let of = |unit: &usize| model.weight(*unit, state.done) * u128::from(probe.cost) * room;
            own.extend(cover.units().iter().map(of));
        }
        let mut budgets = own.clone();
        cover.loans().for_each(|(place, _, unit, share)| budgets[row(place) + unit] += whole(share));
        let mut used = vec![0; own.len()];
        let mut pairs = Pairs { room, pairs: Vec::new(), loans: Vec::new() };
        for ([a, b], gifts) in cover.shared() {
            let fit = |place: usize, unit: usize, amount: f64| {
                let (row, budget) = (row(place) + unit, cover.budget(row(place) + unit) * room as f64);
                whole(amount * if budget > 0.0 { (budgets[row] as f64 / budget).min(1.0) } else { 0.0 })
            };
            let fits: Vec<(usize, u128, u128)> =
                gifts.iter().map(|(place, both)| (*place, fit(*place, a, both[0]), fit(*place, b, both[1]))).collect();
            let worth = fits.iter().map(|(_, one, two)| one + two).min().unwrap_or(0);
            if worth == 0 {
                continue;
            }
            let mut written = Vec::new();
            for (place, one, _) in fits {
                let one = one.min(worth);
                used[row(place) + a] += one;
                used[row(place) + b] += worth - one;
                written.push((model.probes[place].original, one));
            }
            written.sort_unstable();
            pairs.pairs.push(Pair { units: (cover.units()[a], cover.units()[b]), worth, gifts: written });
        }
        for (place, extra, unit, share) in cover.loans() {
            let at = row(place) + unit;
            let amount = whole(share).min(used[at].saturating_sub(own[at]));
            if amount > 0 {
                own[at] += amount;
                let (check, extra) = (model.probes[place].original, extra_name(self.problem, extra));
                pairs.loans.push((check, extra, cover.units()[unit], amount));
            }
        }
        (pairs.pairs.iter().map(|pair| pair.worth).sum::<u128>().div_ceil(room), pairs)
    }

    fn by_checks(&mut self, state: &State, probes: &[u16], first: usize, target: u128) -> Option<Claim> {
        let model = self.model;
        let mut tried = Vec::new();
        for probe in probes.iter().map(|at| &model.probes[usize::from(*at)]).filter(|probe| model.ready(probe, state)) {
            let own = model.mass(state) * u128::from(model.step(probe, state));
            let ends = |state: &State| first == model.pinned.len() && model.ended(state.set);
            let branches: Vec<Branch> =
                model.branches(probe, state).filter(|branch| !branch.exit && !ends(&branch.state)).collect();
            let targets = self.targets(&branches, first, target.saturating_sub(own))?;
            let mut answers = Vec::new();
            for (branch, target) in branches.iter().zip(targets).filter(|(_, target)| *target > 0) {
                let shown = self.raise(branch.state, first, target)?;
                answers.push((probe.outcomes[branch.outcome], shown));
            }
            tried.push((probe.original, own, answers));
        }
        let sum =
            |own: &u128, answers: &[(usize, Shown)]| own + answers.iter().map(|(_, shown)| shown.bound).sum::<u128>();
        let bound = tried.iter().map(|(_, own, answers)| sum(own, answers)).min()?;
        let taken = tried.into_iter().map(|(check, own, mut answers)| {
            answers.sort_by_key(|(outcome, shown)| (shown.bound, *outcome));
            while answers.first().is_some_and(|(_, shown)| sum(&own, &answers) - shown.bound >= bound) {
                answers.remove(0);
            }
            answers.sort_by_key(|(outcome, _)| *outcome);
            let answers = answers.into_iter().filter_map(|(outcome, shown)| Some((outcome, shown.claim?))).collect();
            Taken { check, answers }
        });
        let mut taken: Vec<Taken> = taken.collect();
        taken.sort_by_key(|taken| taken.check);
        Some(Claim { bound, because: Because::Checks(taken) }).filter(|claim| claim.bound >= target)
    }

    /// How much each branch has to be shown to cost so that they come to `need` together.
    fn targets(&mut self, branches: &[Branch], first: usize, need: u128) -> Option<Vec<u128>> {
        let mut lows: Vec<u128> = branches.iter().map(|branch| self.low(branch.state, first)).collect();
        let mut sum: u128 = lows.iter().sum();
        let mut order: Vec<usize> = (0..branches.len()).collect();
        order.sort_by_key(|at| (branches[*at].state.set.count_ones(), *at));
        for at in order {
            if sum >= need {
                break;
            }
            let enough = need - (sum - lows[at]);
            let found = self.worth(branches[at].state, first, enough - 1).min(enough);
            if found > lows[at] {
                (sum, lows[at]) = (sum - lows[at] + found, found);
            }
        }
        let mut over = sum.checked_sub(need)?;
        let mut order: Vec<usize> = (0..lows.len()).collect();
        order.sort_by_key(|at| (lows[*at], *at));
        for at in order {
            let less = lows[at].min(over);
            (lows[at], over) = (lows[at] - less, over - less);
        }
        Some(lows)
    }

    /// What is known of a branch without any more searching.
    fn low(&self, state: State, first: usize) -> u128 {
        if first < self.model.pinned.len() {
            return 0;
        }
        let state = self.model.settle(state);
        let shown = self.known.get(&state).map_or(0, |known| known.bound);
        shown.max(self.search.lower(&state))
    }

    /// What a branch costs, or at least more than `limit`, as far as the search knows.
    fn worth(&mut self, state: State, first: usize, limit: u128) -> u128 {
        let model = self.model;
        let Some(place) = model.pinned.get(first) else {
            let (Found::Exact(cost) | Found::Over(cost) | Found::Spent(cost)) =
                self.search.solve(model.settle(state), limit, None);
            return cost;
        };
        let probe = &model.probes[*place];
        let own = model.mass(&state) * u128::from(model.step(probe, &state));
        let branches: Vec<Branch> = model.branches(probe, &state).filter(|branch| !branch.exit).collect();
        branches.iter().fold(own, |sum, branch| sum + self.worth(branch.state, first + 1, u128::MAX >> 2))
    }
}

/// The claims that the one at `root` stands on, each before those it refers to.
fn needed(claims: Vec<Claim>, root: usize) -> Vec<Claim> {
    let mut places = vec![None; claims.len()];
    places[root] = Some(0);
    let mut kept = Vec::new();
    for (at, claim) in claims.into_iter().enumerate().take(root + 1).rev() {
        if places[at].is_none() {
            continue;
        }
        places[at] = Some(kept.len());
        if let Because::Checks(checks) = &claim.because {
            checks.iter().flat_map(|taken| &taken.answers).for_each(|(_, to)| places[*to] = Some(0));
        }
        kept.push(claim);
    }
    for claim in &mut kept {
        if let Because::Checks(checks) = &mut claim.because {
            let answers = checks.iter_mut().flat_map(|taken| &mut taken.answers);
            answers.for_each(|(_, to)| *to = places[*to].unwrap_or(0));
        }
    }
    kept
}
