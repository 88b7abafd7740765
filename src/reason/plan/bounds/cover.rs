//! Pair covering: every two units that must be told apart share a check that does it, on both their paths.
//!
//! Write z(t,i) for "check t lies on the path of unit i". Any tree satisfies, for each such pair, "the sum over the
//! separating checks of min(z(t,i), z(t,j)) is at least 1", and pays an extra at least once on each path that uses it.
//! A feasible point of the dual is a bound: each budget (seconds of t times weight of i, and a share of the extras t
//! needs) is shared out among i's partners; what a pair is worth is the least it was given by any check that can
//! separate it. Multiplicative re-sharing takes from checks that gave more than the least and spreads it over the rest.
//!
//! Floating point here only proposes; [`floor`] takes off more than all rounding, so what it returns is a true bound.

use crate::reason::plan::model::Model;
use crate::reason::plan::set::{Set, members, one};
use crate::reason::plan::state::State;

/// Keeps a gift from vanishing, so that it can grow again.
const TINY: f64 = 1e-200;
/// Sweeps at one sharpness before the next.
const PATIENCE: usize = 10;
/// The sharpest: higher gains nothing in a few hundred sweeps.
const SHARPEST: u32 = 5;

/// One check's gift to a pair, from the budgets of both its units.
#[derive(Debug, Clone, Copy)]
struct Gift {
    rows: [u32; 2],
    /// Place of the check in `probes`.
    place: u32,
    amounts: [f64; 2],
}

/// One extra a check needs: its share of the extra's price, per unit.
#[derive(Debug, Clone)]
struct Fee {
    probe: usize,
    extra: usize,
    shares: Vec<f64>,
}

/// A feasible point of the dual at one position.
#[derive(Debug, Clone)]
pub(crate) struct Cover {
    /// Units, and the place of each in `units`.
    units: Vec<usize>,
    /// Probes that count here, as places in the model.
    probes: Vec<u16>,
    pairs: Vec<[u8; 2]>,
    /// First gift of each pair, and the end.
    starts: Vec<u32>,
    gifts: Vec<Gift>,
    fees: Vec<Fee>,
    /// Price of every extra and unit, by extra.
    prices: Vec<Vec<f64>>,
    /// Own cost times weight, per row (probe, unit).
    own: Vec<f64>,
    budget: Vec<f64>,
    scale: Vec<f64>,
    /// Value of each pair.
    values: Vec<f64>,
    /// Work space.
    places: Vec<u32>,
}

/// Takes off more than the rounding of any sum made here, and rounds up: the true value is whole.
pub(crate) fn floor(value: f64) -> u128 {
    (value * (1.0 - 1e-9)).ceil().max(0.0) as u128
}

impl Cover {
    /// The dual at a position, started from a related one or from even shares.
    pub fn new(model: &Model, state: &State, probes: &[u16], parent: Option<&Cover>) -> Self {
        Self::apart(model, state, probes, parent, &model.must)
    }

    /// Likewise, where it is known which units end on different leaves.
    pub fn apart(model: &Model, state: &State, probes: &[u16], parent: Option<&Cover>, apart: &[Set]) -> Self {
        let units: Vec<usize> = members(state.set).collect();
        let weights: Vec<f64> = units.iter().map(|unit| model.weight(*unit, state.done) as f64).collect();
        let closed =
            (0..model.extras.len()).map(|extra| if state.open >> extra & 1 == 1 { 0 } else { model.extras[extra] });
        let prices: Vec<u64> = closed.chain(model.entries(state.at)).collect();
        let mut cover = Self {
            own: Vec::with_capacity(units.len() * probes.len()),
            prices: prices.iter().map(|price| weights.iter().map(|weight| weight * *price as f64).collect()).collect(),
            probes: probes.to_vec(),
            pairs: Vec::new(),
            starts: vec![0],
            gifts: Vec::new(),
            fees: Vec::new(),
            budget: Vec::new(),
            scale: Vec::new(),
            values: Vec::new(),
            places: vec![0; probes.len()],
            units,
        };
        for probe in probes.iter().map(|at| &model.probes[usize::from(*at)]) {
            cover.own.extend(weights.iter().map(|weight| weight * probe.cost as f64));
        }
        cover.add_fees(model, &prices, parent);
        cover.set_budgets();
        cover.add_pairs(model, parent, apart);
        cover
    }

    fn add_fees(&mut self, model: &Model, prices: &[u64], parent: Option<&Cover>) {
        for (place, at) in self.probes.iter().enumerate() {
            let probe = &model.probes[usize::from(*at)];
            let entry = probe.state.map(|to| model.extras.len() + usize::from(to));
            let extras = (0..model.extras.len()).filter(|extra| probe.extras >> extra & 1 == 1);
            for extra in extras.chain(entry).filter(|extra| prices[*extra] > 0) {
                let inherited = parent.and_then(|parent| parent.fee(*at, extra, &self.units));
                let shares = inherited.unwrap_or_else(|| vec![1.0; self.units.len()]);
                self.fees.push(Fee { probe: place, extra, shares });
            }
        }
        self.level_fees();
    }

    /// The shares of an extra at a related position, for these units.
    fn fee(&self, probe: u16, extra: usize, units: &[usize]) -> Option<Vec<f64>> {
        let fee = self.fees.iter().find(|fee| self.probes[fee.probe] == probe && fee.extra == extra)?;
        units.iter().map(|unit| self.units.binary_search(unit).ok().map(|place| fee.shares[place])).collect()
    }

    /// Makes the shares of each extra add up to its price.
    fn level_fees(&mut self) {
        let mut sums = vec![vec![0.0; self.units.len()]; self.prices.len()];
        for fee in &self.fees {
            fee.shares.iter().zip(&mut sums[fee.extra]).for_each(|(share, sum)| *sum += share);
        }
        for fee in &mut self.fees {
            for (place, share) in fee.shares.iter_mut().enumerate() {
                let sum = sums[fee.extra][place];
                *share = if sum > 0.0 { *share * self.prices[fee.extra][place] / sum } else { 0.0 };
            }
        }
    }

    fn set_budgets(&mut self) {
        let count = self.units.len();
        self.budget.clone_from(&self.own);
        for fee in &self.fees {
            let row = fee.probe * count;
            fee.shares.iter().zip(&mut self.budget[row..row + count]).for_each(|(share, sum)| *sum += share);
        }
    }

    fn add_pairs(&mut self, model: &Model, parent: Option<&Cover>, must: &[Set]) {
        let count = self.units.len();
        // Answers of all checks per unit, so that two units are compared along two lines.
        let checks = self.probes.len();
        let mut answers = vec![0; count * checks];
        for (place, at) in self.probes.iter().enumerate() {
            let of = &model.probes[usize::from(*at)].answers;
            self.units.iter().enumerate().for_each(|(unit, name)| answers[unit * checks + place] = of[*name]);
        }
        let line = |unit: usize| &answers[unit * checks..(unit + 1) * checks];
        let above = parent.map(|parent| Above::new(parent, &self.units, &self.probes));
        for a in 0..count {
            let apart: Set = must[self.units[a]];
            for b in a + 1..count {
                if apart & one(self.units[b]) != 0 {
                    self.add_pair([a, b], [line(a), line(b)], above.as_ref());
                }
            }
        }
        self.values = vec![0.0; self.pairs.len()];
        self.even_out();
    }

    fn add_pair(&mut self, pair: [usize; 2], lines: [&[u64]; 2], above: Option<&Above>) {
        let (count, first) = (self.units.len(), self.gifts.len());
        // Written without a jump: which checks separate a pair cannot be guessed.
        let mut apart = 0;
        for (place, (one, two)) in lines[0].iter().zip(lines[1]).enumerate() {
            self.places[apart] = place as u32;
            apart += usize::from(one != two);
        }
        self.gifts.extend(self.places[..apart].iter().map(|place| {
            let rows = pair.map(|unit| place * count as u32 + unit as u32);
            Gift { rows, place: *place, amounts: [1.0, 1.0] }
        }));
        let budget = |gift: &Gift| self.budget[gift.rows[0] as usize] + self.budget[gift.rows[1] as usize];
        if self.gifts.len() == first || self.gifts[first..].iter().any(|gift| budget(gift) <= 0.0) {
            self.gifts.truncate(first);
            return;
        }
        if let Some(above) = above {
            above.hand_down(pair, &mut self.gifts[first..]);
        }
        self.pairs.push(pair.map(|unit| unit as u8));
        self.starts.push(self.gifts.len() as u32);
    }

    /// Place of each pair of own units, `u32::MAX` where there is none.
    fn pair_table(&self) -> Vec<u32> {
        let count = self.units.len();
        let mut table = vec![u32::MAX; count * count];
        for (place, [a, b]) in self.pairs.iter().enumerate() {
            table[usize::from(*a) * count + usize::from(*b)] = place as u32;
        }
        table
    }

    /// Sets the scales that make the gifts use up the budgets.
    fn even_out(&mut self) {
        let mut used = vec![0.0; self.budget.len()];
        for gift in &self.gifts {
            used[gift.rows[0] as usize] += gift.amounts[0];
            used[gift.rows[1] as usize] += gift.amounts[1];
        }
        self.scale = used.iter().zip(&self.budget).map(|(used, budget)| ratio(*budget, *used)).collect();
    }

    /// One sweep of re-sharing; returns the value of the point it started from.
    ///
    /// A pair divides one unit of demand over the checks that give it least, as the power `2^sharpness` of least over
    /// given; each gift is multiplied by its part of that demand, to the power `2 / 2^sharpness`, which is as much as
    /// can be without swinging. In balance, all gifts from one budget meet the same demand, which is the condition
    /// for the best dual point; the sharper, the closer.
    fn sweep(&mut self, sharpness: u32) -> f64 {
        let mut used = vec![0.0; self.budget.len()];
        let mut kept = vec![0.0; self.probes.len()];
        let mut sum = 0.0;
        for pair in 0..self.pairs.len() {
            let gifts = &mut self.gifts[self.starts[pair] as usize..self.starts[pair + 1] as usize];
            let mut least = f64::INFINITY;
            for gift in gifts.iter_mut() {
                gift.amounts[0] *= self.scale[gift.rows[0] as usize];
                gift.amounts[1] *= self.scale[gift.rows[1] as usize];
                least = smaller(least, gift.amounts[0] + gift.amounts[1]);
            }
            self.values[pair] = least;
            sum += least;
            let mut demand = 0.0;
            for (gift, keep) in gifts.iter().zip(&mut kept) {
                let part = least / (gift.amounts[0] + gift.amounts[1]).max(TINY);
                let square = part * part;
                let mut power = square;
                for _ in 1..sharpness {
                    power *= power;
                }
                demand += power;
                *keep = square.max(1e-6);
            }
            let demand = 1.0 / (1..sharpness).fold(demand.max(1.0), |root, _| root.sqrt());
            for (gift, keep) in gifts.iter_mut().zip(&kept) {
                gift.amounts[0] = (gift.amounts[0] * keep * demand).max(TINY);
                gift.amounts[1] = (gift.amounts[1] * keep * demand).max(TINY);
                used[gift.rows[0] as usize] += gift.amounts[0];
                used[gift.rows[1] as usize] += gift.amounts[1];
            }
        }
        self.share_fees(&used);
        self.scale = used.iter().zip(&self.budget).map(|(used, budget)| ratio(*budget, *used)).collect();
        sum
    }

    /// Moves the extras' prices to the checks that used up their budgets.
    fn share_fees(&mut self, used: &[f64]) {
        if self.fees.is_empty() {
            return;
        }
        let count = self.units.len();
        for fee in &mut self.fees {
            for (place, share) in fee.shares.iter_mut().enumerate() {
                let row = fee.probe * count + place;
                *share *= ratio(used[row], self.budget[row]).max(1e-6);
            }
        }
        self.level_fees();
        self.set_budgets();
    }

    /// Sweeps until the bound reaches `target` or stops growing; returns the best value seen.
    pub fn improve(&mut self, from: u32, sweeps: usize, target: f64) -> f64 {
        let mut best = 0.0_f64;
        for sweep in 0..sweeps {
            let value = self.sweep((from + (sweep / PATIENCE) as u32).min(SHARPEST));
            best = best.max(value);
            if value >= target || self.pairs.is_empty() {
                break;
            }
        }
        best
    }

    /// What each pair would still be worth with more extras open and the machine in another state.
    pub fn values_with(&self, opened: u64, entered: Option<u8>, extras: usize) -> Vec<f64> {
        let mut less = vec![0.0; self.budget.len()];
        let count = self.units.len();
        let gone = |extra: usize| {
            if extra < extras { opened >> extra & 1 == 1 } else { Some(extra - extras) == entered.map(usize::from) }
        };
        for fee in self.fees.iter().filter(|fee| gone(fee.extra)) {
            let row = fee.probe * count;
            fee.shares.iter().zip(&mut less[row..row + count]).for_each(|(share, less)| *less += share);
        }
        let factor: Vec<f64> = (self.budget.iter().zip(&less).zip(&self.scale))
            .map(|((budget, less), scale)| scale * ratio(budget - less, *budget).clamp(0.0, 1.0))
            .collect();
        let given = |gift: &Gift| {
            gift.amounts[0] * factor[gift.rows[0] as usize] + gift.amounts[1] * factor[gift.rows[1] as usize]
        };
        self.starts
            .windows(2)
            .map(|range| &self.gifts[range[0] as usize..range[1] as usize])
            .map(|gifts| gifts.iter().map(given).fold(f64::INFINITY, smaller))
            .collect()
    }

    /// Pair values as a square table over the model's units of this position (by place).
    pub fn table(&self, values: &[f64]) -> Vec<f64> {
        let count = self.units.len();
        let mut table = vec![0.0; count * count];
        for ([a, b], value) in self.pairs.iter().zip(values) {
            table[usize::from(*a) * count + usize::from(*b)] = *value;
        }
        table
    }

    /// What each check was lent of an extra's price: (place of the probe, extra, place of the unit, share).
    pub fn loans(&self) -> impl Iterator<Item = (usize, usize, usize, f64)> + '_ {
        let one = |fee: &Fee, place: usize| (usize::from(self.probes[fee.probe]), fee.extra, place, fee.shares[place]);
        self.fees.iter().flat_map(move |fee| (0..fee.shares.len()).map(move |place| one(fee, place)))
    }

    /// Each pair with what every separating check gives it.
    pub fn shared(&self) -> impl Iterator<Item = ([usize; 2], Vec<(usize, [f64; 2])>)> + '_ {
        let amounts = |gift: &Gift| [0, 1].map(|side| gift.amounts[side] * self.scale[gift.rows[side] as usize]);
        self.pairs.iter().zip(self.starts.windows(2)).map(move |(pair, range)| {
            let gifts = &self.gifts[range[0] as usize..range[1] as usize];
            let place = |gift: &Gift| usize::from(self.probes[gift.place as usize]);
            (pair.map(usize::from), gifts.iter().map(|gift| (place(gift), amounts(gift))).collect())
        })
    }

    /// Budget of a row (probe, unit).
    pub fn budget(&self, row: usize) -> f64 {
        self.budget[row]
    }

    pub fn units(&self) -> &[usize] {
        &self.units
    }
}

/// The dual of a position above, ready to hand its gifts down.
struct Above<'a> {
    cover: &'a Cover,
    pairs: Vec<u32>,
    /// Own places of the units below, and of the checks below (`u32::MAX`: it has none).
    units: Vec<Option<usize>>,
    checks: Vec<u32>,
}

impl<'a> Above<'a> {
    fn new(cover: &'a Cover, units: &[usize], probes: &[u16]) -> Self {
        let check = |at: &u16| cover.probes.binary_search(at).map_or(u32::MAX, |place| place as u32);
        Self {
            cover,
            pairs: cover.pair_table(),
            units: units.iter().map(|unit| cover.units.binary_search(unit).ok()).collect(),
            checks: probes.iter().map(check).collect(),
        }
    }

    /// Copies the gifts to a pair into those of the position below.
    fn hand_down(&self, pair: [usize; 2], into: &mut [Gift]) {
        let [Some(a), Some(b)] = pair.map(|unit| self.units[unit]) else { return };
        let place = self.pairs[a * self.cover.units.len() + b];
        if place == u32::MAX {
            return;
        }
        let range = self.cover.starts[place as usize] as usize..self.cover.starts[place as usize + 1] as usize;
        let mut mine = self.cover.gifts[range].iter();
        for gift in into {
            let check = self.checks[gift.place as usize];
            if check != u32::MAX
                && let Some(own) = mine.find(|own| own.place >= check)
                && own.place == check
            {
                gift.amounts = own.amounts;
            }
        }
    }
}

/// The smaller of two numbers; neither is ever NaN, which spares `f64::min` its care.
fn smaller(a: f64, b: f64) -> f64 {
    if b < a { b } else { a }
}

fn ratio(top: f64, bottom: f64) -> f64 {
    if bottom > 0.0 { top / bottom } else { 1.0 }
}
