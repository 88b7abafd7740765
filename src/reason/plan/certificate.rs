//! The lower bound in a form that anyone can check with whole numbers.

use num_rational::Ratio;

use super::bounds::cover::Cover;
use super::model::{MOST_PAIRS, Model};
use super::problem::Problem;
use super::set::{Set, members, one};
use super::state::State;

/// Causes beyond this many, the lightest first, are left out of the certificate: any part of the pairs is a bound.
const MOST_UNITS: usize = 64;

/// A feasible point of the dual of the pair covering, for the fault as it stands after the pinned checks. Amounts are
/// in given weight times seconds times `scale` over `divisor`. Causes are named by position; `causes.len()` is "none of these".
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Certificate {
    /// Makes room for even splits and fractions in whole numbers.
    pub scale: u128,
    /// Common divisor of the given weights.
    pub divisor: u128,
    /// Causes that all checks treat alike, one list per unit.
    pub units: Vec<Vec<usize>>,
    /// What two units, which must be told apart, are worth: (unit, unit, worth).
    pub pairs: Vec<(usize, usize, u128)>,
    /// What a check gives to a pair from one unit's budget: (check, unit, partner, amount).
    pub gifts: Vec<(usize, usize, usize, u128)>,
    /// What a check was lent of the price of an extra, for one unit: (check, extra, unit, amount).
    pub loans: Vec<(usize, Extra, usize, u128)>,
    /// The bound in expected seconds: pinned checks, pairs, and repairs that must be tried one after the other.
    pub bound: Ratio<u128>,
}

/// Something paid once on a path.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Extra {
    /// An access, by position.
    Access(usize),
    /// A make-safe task, by position.
    Task(usize),
    /// Entering a state of the machine for the first time, by position.
    State(usize),
}

impl Certificate {
    pub(super) fn new(problem: &Problem, model: &Model, sweeps: usize) -> Self {
        let units = model.units.iter().map(|unit| unit.members.clone()).collect();
        let room = model.room();
        let mut certificate = Self { units, scale: model.scale * room, divisor: model.divisor, ..Self::default() };
        let fixed = pinned(model);
        let certain = fixed.seconds * model.total.saturating_sub(fixed.leaving) + model.grouped.iter().sum::<u128>();
        certificate.bound = Ratio::new(certain, model.total.max(1));
        let Some(narrow) = Narrow::new(model) else { return certificate };
        let state = State { set: narrow.set, done: 0, open: fixed.open, at: fixed.at };
        let probes: Vec<u16> = (0..narrow.model.probes.len() as u16).collect();
        let mut cover = Cover::new(&narrow.model, &state, &probes, None);
        cover.improve(1, sweeps, f64::INFINITY);
        let worth = certificate.write(problem, &narrow, &cover, room);
        certificate.bound += Ratio::new(worth, model.total.max(1) * room);
        certificate
    }
}

impl Certificate {
    /// Rounds a dual point down to whole numbers that keep every budget.
    fn write(&mut self, problem: &Problem, narrow: &Narrow, cover: &Cover, room: u128) -> u128 {
        let (model, scale) = (&narrow.model, room as f64 * (1.0 - 1e-9));
        let mut sum = 0;
        let whole = |amount: f64| (amount * scale).floor().max(0.0) as u128;
        let count = cover.units().len();
        let mut budgets: Vec<u128> = Vec::new();
        for probe in &model.probes {
            budgets.extend(model.units.iter().map(|unit| unit.weight * u128::from(probe.cost) * room));
        }
        for (place, extra, unit, share) in cover.loans() {
            budgets[place * count + unit] += whole(share);
            let extra = extra_name(problem, extra);
            self.loans.push((model.probes[place].original, extra, narrow.names[unit], whole(share)));
        }
        for ([a, b], gifts) in cover.shared() {
            let mut worth = u128::MAX;
            let names = [narrow.names[a], narrow.names[b]];
            for (place, amounts) in gifts {
                let rows = [place * count + a, place * count + b];
                let fit = |side: usize| {
                    let budget = cover.budget(rows[side]) * room as f64;
                    let part = if budget > 0.0 { (budgets[rows[side]] as f64 / budget).min(1.0) } else { 0.0 };
                    whole(amounts[side] * part)
                };
                let check = model.probes[place].original;
                self.gifts.push((check, names[0], names[1], fit(0)));
                self.gifts.push((check, names[1], names[0], fit(1)));
                worth = worth.min(fit(0) + fit(1));
            }
            self.pairs.push((names[0], names[1], worth));
            sum += worth;
        }
        sum
    }
}

/// The extra behind a place in the model.
pub(super) fn extra_name(problem: &Problem, extra: usize) -> Extra {
    let (accesses, tasks) = (problem.accesses.len(), problem.tasks.len());
    if extra < accesses {
        Extra::Access(extra)
    } else if extra < accesses + tasks {
        Extra::Task(extra - accesses)
    } else {
        Extra::State(extra - accesses - tasks)
    }
}

/// What the pinned checks cost on every path, and how they leave the machine.
struct Fixed {
    seconds: u128,
    /// Weight that may leave for another fault on the way.
    leaving: u128,
    open: u64,
    at: u8,
}

fn pinned(model: &Model) -> Fixed {
    let mut state = State { set: 0, done: 0, open: 0, at: model.start };
    let (mut seconds, mut leaving) = (0, 0);
    for probe in model.pinned.iter().map(|place| &model.probes[*place]) {
        seconds += u128::from(model.step(probe, &state));
        state = model.taken(probe, &state);
        if probe.exits != 0 {
            leaving = model.weight_of[model.none_at];
        }
    }
    Fixed { seconds, leaving, open: state.open, at: state.at }
}

/// A model cut down to the heaviest units.
struct Narrow {
    model: Model,
    /// The name of each unit that is left, in the whole model.
    names: Vec<usize>,
    set: Set,
}

impl Narrow {
    fn new(model: &Model) -> Option<Self> {
        let mut names: Vec<usize> = (0..model.units.len()).collect();
        names.sort_by_key(|unit| std::cmp::Reverse(model.units[*unit].weight));
        names.truncate((MOST_PAIRS / model.probes.len().max(1)).isqrt().min(MOST_UNITS));
        names.sort_unstable();
        let small = model.part(&names);
        let set = members(Set::MAX).take(names.len()).fold(0, |all, unit| all | one(unit));
        (names.len() > 1 && small.probes.len() < usize::from(u16::MAX)).then_some(Self { model: small, names, set })
    }
}
