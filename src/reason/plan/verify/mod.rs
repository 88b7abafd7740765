//! A second look at a plan, written from the meaning of the problem and sharing nothing with the search: the bound of a
//! certificate is recomputed from its budgets, a proof is followed claim by claim, and a tree is walked cause by cause.

mod position;
mod proof;

use std::collections::{BTreeMap, BTreeSet};

use num_rational::Ratio;

pub use proof::proved_bound;

use super::certificate::{Certificate, Extra};
use super::problem::{Problem, Then};
use super::tree::{CheckStep, Step, Tree};

/// What is wrong with a certificate or a tree.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wrong(pub &'static str);

fn ensure(holds: bool, what: &'static str) -> Result<(), Wrong> {
    if holds { Ok(()) } else { Err(Wrong(what)) }
}

/// The answers of a check that leave a cause; `causes.len()` is "none of these".
fn answers(problem: &Problem, check: usize, cause: usize) -> BTreeSet<usize> {
    let leaves = |then: &Then| matches!(then, Then::Leaves(list) if list.contains(&cause));
    let outcomes = problem.checks[check].outcomes.iter().enumerate();
    let none = cause == problem.causes.len();
    outcomes.filter(|(_, one)| if none { one.none } else { leaves(&one.then) }).map(|(at, _)| at).collect()
}

/// Whether a path may end, on one repair, with exactly these causes left.
fn may_end(problem: &Problem, causes: &BTreeSet<usize>) -> bool {
    let none = causes.contains(&problem.causes.len());
    let real: Vec<_> = causes.iter().filter_map(|cause| problem.causes.get(*cause)).collect();
    real.windows(2).all(|two| two[0].repair == two[1].repair) && (!none || real.iter().all(|one| one.by_elimination))
}

/// Weight of a cause as the problem gives it; all equal where none has one.
fn weight(problem: &Problem, cause: usize) -> u128 {
    let zero = problem.causes.iter().all(|cause| cause.weight == 0) && problem.none_of_these.unwrap_or(0) == 0;
    match problem.causes.get(cause) {
        Some(_) if zero => 1,
        Some(cause) => cause.weight,
        None => problem.none_of_these.unwrap_or(0),
    }
}

/// Everything that must be open or done for a check.
fn extras(problem: &Problem, check: usize) -> BTreeSet<Extra> {
    let mut wanted = problem.checks[check].accesses.clone();
    let mut all: BTreeSet<Extra> = problem.checks[check].make_safe.iter().map(|task| Extra::Task(*task)).collect();
    while let Some(access) = wanted.pop() {
        if all.insert(Extra::Access(access)) {
            wanted.extend(&problem.accesses[access].needs);
        }
    }
    all
}

fn price(problem: &Problem, extra: Extra) -> u64 {
    let change = &problem.states.change;
    match extra {
        Extra::Access(at) => problem.accesses[at].seconds,
        Extra::Task(at) => problem.tasks[at].seconds,
        Extra::State(to) => {
            (0..change.len()).filter(|from| *from != to).map(|from| change[from][to]).min().unwrap_or(0)
        }
    }
}

/// Pinned checks in order, each after those it comes after.
fn pinned(problem: &Problem) -> Vec<usize> {
    fn add(problem: &Problem, at: usize, list: &mut Vec<usize>) {
        if !list.contains(&at) {
            problem.checks[at].after.iter().for_each(|earlier| add(problem, *earlier, list));
            list.push(at);
        }
    }
    let mut list = Vec::new();
    (0..problem.checks.len()).filter(|at| problem.checks[*at].first).for_each(|at| add(problem, at, &mut list));
    list
}

/// What has been paid for on a path.
#[derive(Clone, Default)]
struct Paid {
    extras: BTreeSet<Extra>,
    checks: BTreeSet<usize>,
    at: usize,
}

impl Paid {
    fn pay(&mut self, problem: &Problem, check: usize) -> u64 {
        let new: Vec<Extra> = extras(problem, check).difference(&self.extras).copied().collect();
        let to = problem.checks[check].state.unwrap_or(self.at);
        let change = problem
            .states
            .change
            .get(self.at)
            .and_then(|row| row.get(to))
            .filter(|_| problem.checks[check].state.is_some());
        let seconds = new.iter().map(|extra| price(problem, *extra)).sum::<u64>() + change.copied().unwrap_or(0);
        self.extras.extend(new);
        self.checks.insert(check);
        self.at = to;
        seconds + problem.checks[check].seconds
    }
}

/// Checks a certificate and returns the bound it proves, in expected seconds.
///
/// # Errors
/// The first condition that does not hold.
pub fn lower_bound(problem: &Problem, proof: &Certificate) -> Result<Ratio<u128>, Wrong> {
    let (first, mut paid, mut fixed) = (pinned(problem), Paid { at: problem.states.start, ..Paid::default() }, 0);
    first.iter().for_each(|check| fixed += paid.pay(problem, *check));
    let weights = unit_weights(problem, proof)?;
    let mut budgets: BTreeMap<(usize, usize), u128> = BTreeMap::new();
    for (check, seconds) in problem.checks.iter().map(|check| check.seconds).enumerate() {
        let seconds = if first.contains(&check) { 0 } else { u128::from(seconds) };
        budgets.extend(weights.iter().enumerate().map(|(unit, weight)| ((check, unit), seconds * weight)));
    }
    let mut prices: BTreeMap<(Extra, usize), u128> = BTreeMap::new();
    for (check, extra, unit, amount) in &proof.loans {
        ensure(
            !first.contains(check) && owes(problem, &paid, *check, *extra),
            "a check was lent what it does not pay",
        )?;
        *prices.entry((*extra, *unit)).or_default() += amount;
        *budgets.get_mut(&(*check, *unit)).ok_or(Wrong("a loan to nobody"))? += amount;
    }
    let fair =
        |((extra, unit), lent): (&(Extra, usize), &u128)| *lent <= u128::from(price(problem, *extra)) * weights[*unit];
    ensure(prices.iter().all(fair), "more was lent of an extra than its price")?;
    let mut gifts: BTreeMap<(usize, usize, usize), u128> = BTreeMap::new();
    for (check, unit, partner, amount) in &proof.gifts {
        let left = budgets.get_mut(&(*check, *unit)).ok_or(Wrong("a gift from nobody"))?;
        *left = left.checked_sub(*amount).ok_or(Wrong("a check gives more than its budget"))?;
        *gifts.entry((*check, *unit, *partner)).or_default() += amount;
    }
    let mut worth = 0;
    let mut seen = BTreeSet::new();
    for (a, b, value) in &proof.pairs {
        ensure(a < b && *b < weights.len() && seen.insert((a, b)), "a pair is counted twice")?;
        let (one, two) = (proof.units[*a][0], proof.units[*b][0]);
        let both = proof.units[*a].iter().chain(&proof.units[*b]).copied().collect();
        ensure(!may_end(problem, &both), "a pair need not be told apart")?;
        let given =
            |check: usize| [(check, *a, *b), (check, *b, *a)].iter().filter_map(|key| gifts.get(key)).sum::<u128>();
        let checks =
            (0..problem.checks.len()).map(|check| (check, answers(problem, check, one), answers(problem, check, two)));
        let checks: Vec<_> = checks.filter(|(_, one, two)| one != two).collect();
        ensure(checks.iter().any(|(_, one, two)| one.is_disjoint(two)), "no check tells a pair apart")?;
        ensure(checks.iter().all(|(check, ..)| given(*check) >= *value), "a pair is worth less than stated")?;
        worth += value;
    }
    Ok(total_bound(problem, proof, &first, fixed, worth))
}

/// Whether a check pays for an extra that is not open after the pinned checks.
fn owes(problem: &Problem, paid: &Paid, check: usize, extra: Extra) -> bool {
    match extra {
        Extra::State(to) => problem.checks[check].state == Some(to) && to != paid.at,
        extra => extras(problem, check).contains(&extra) && !paid.extras.contains(&extra),
    }
}

/// Weights of the units in the certificate's own measure, after checking that each holds causes that answer alike.
fn unit_weights(problem: &Problem, proof: &Certificate) -> Result<Vec<u128>, Wrong> {
    let mut seen = BTreeSet::new();
    let mut weights = Vec::new();
    for unit in &proof.units {
        ensure(!unit.is_empty(), "a unit is empty")?;
        for cause in unit {
            ensure(*cause <= problem.causes.len() && seen.insert(*cause), "a cause stands in two units")?;
            let alike = |check| answers(problem, check, unit[0]) == answers(problem, check, *cause);
            ensure((0..problem.checks.len()).all(alike), "a unit holds causes that a check tells apart")?;
        }
        weights
            .push(unit.iter().map(|cause| weight(problem, *cause)).sum::<u128>() * proof.scale / proof.divisor.max(1));
    }
    Ok(weights)
}

/// Pinned checks, repairs that have to be tried one after the other whatever the tree, and the worth of all pairs.
fn total_bound(problem: &Problem, proof: &Certificate, first: &[usize], fixed: u64, worth: u128) -> Ratio<u128> {
    let leaves = |check: &usize| problem.checks[*check].outcomes.iter().any(|one| matches!(one.then, Then::Exit(_)));
    let total: u128 = (0..=problem.causes.len()).map(|cause| weight(problem, cause)).sum();
    let staying = total - if first.iter().any(leaves) { weight(problem, problem.causes.len()) } else { 0 };
    let groups = proof.units.iter().filter(|unit| !may_end(problem, &unit.iter().copied().collect()));
    let tried: u128 = groups.map(|unit| group_cost(problem, unit)).sum();
    let certain = Ratio::new(u128::from(fixed) * staying + tried, total.max(1));
    certain + Ratio::new(worth, total.max(1)) * Ratio::new(proof.divisor.max(1), proof.scale.max(1))
}

/// Repairs in p/c order, each paid by all that is not cured before it.
fn group_cost(problem: &Problem, causes: &[usize]) -> u128 {
    let mut repairs: BTreeMap<usize, u128> = BTreeMap::new();
    for cause in causes.iter().filter_map(|cause| problem.causes.get(*cause).map(|one| (one.repair, *cause))) {
        *repairs.entry(cause.0).or_default() += weight(problem, cause.1);
    }
    let seconds = |repair: usize| u128::from(problem.repairs[repair].seconds);
    let mut order: Vec<(usize, u128)> = repairs.into_iter().collect();
    let never = |weight: u128| weight == 0;
    order.sort_by(|a, b| never(a.1).cmp(&never(b.1)).then((seconds(a.0) * b.1).cmp(&(seconds(b.0) * a.1))));
    let mut left: u128 = causes.iter().map(|cause| weight(problem, *cause)).sum();
    let mut sum = 0;
    for (repair, cured) in order {
        sum += seconds(repair) * left;
        left -= cured;
    }
    sum
}

/// Walks the tree with every cause and every answer it may give, and returns the expected seconds.
///
/// # Errors
/// The first place where the tree leaves a cause without a way, ends too early, or states other seconds.
pub fn tree_cost(problem: &Problem, tree: &Tree) -> Result<Ratio<u128>, Wrong> {
    let none = problem.none_of_these.map(|_| problem.causes.len());
    let start: BTreeMap<usize, Ratio<u128>> =
        (0..problem.causes.len()).chain(none).map(|cause| (cause, Ratio::from(weight(problem, cause)))).collect();
    let total: Ratio<u128> = start.values().sum();
    let mut sum = Ratio::from(0);
    let mut open = vec![(0, start, Paid { at: problem.states.start, ..Paid::default() }, 0_u64)];
    while let Some((at, causes, mut paid, elapsed)) = open.pop() {
        let node = tree.nodes.get(at).ok_or(Wrong("an answer leads nowhere"))?;
        let Step::Check(step) = &node.step else {
            sum += end_cost(problem, &node.step, &causes, &paid, elapsed)?;
            continue;
        };
        ensure(may_take(problem, &paid, step.check), "a check is repeated, or taken before its turn")?;
        ensure(paid.pay(problem, step.check) == step.seconds, "a step states other seconds")?;
        for (outcome, to) in &step.answers {
            let mut left = BTreeMap::new();
            for (cause, weight) in &causes {
                let parts = answers(problem, step.check, *cause);
                if parts.contains(outcome) {
                    left.insert(*cause, weight / Ratio::from(parts.len() as u128));
                }
            }
            open.push((*to, left, paid.clone(), elapsed + step.seconds));
        }
        ensure(complete(problem, step, &causes), "an answer that a cause may give is missing")?;
    }
    Ok(if *total.numer() == 0 { total } else { sum / total })
}

fn may_take(problem: &Problem, paid: &Paid, check: usize) -> bool {
    let next = pinned(problem).into_iter().find(|first| !paid.checks.contains(first));
    let turn = next.is_none_or(|next| next == check);
    check < problem.checks.len()
        && turn
        && !paid.checks.contains(&check)
        && problem.checks[check].after.iter().all(|earlier| paid.checks.contains(earlier))
}

fn complete(problem: &Problem, step: &CheckStep, causes: &BTreeMap<usize, Ratio<u128>>) -> bool {
    let taken: BTreeSet<usize> = step.answers.iter().map(|(outcome, _)| *outcome).collect();
    causes.keys().all(|cause| answers(problem, step.check, *cause).is_subset(&taken))
}

/// Weight times seconds of everything that ends at one leaf.
fn end_cost(
    problem: &Problem,
    step: &Step,
    causes: &BTreeMap<usize, Ratio<u128>>,
    paid: &Paid,
    elapsed: u64,
) -> Result<Ratio<u128>, Wrong> {
    let mut left: Ratio<u128> = causes.values().sum();
    let mut sum = left * Ratio::from(u128::from(elapsed));
    let set: BTreeSet<usize> = causes.keys().copied().collect();
    let repair = set.iter().find_map(|cause| problem.causes.get(*cause)).map(|cause| cause.repair);
    if !matches!(step, Step::Exit(_)) {
        ensure(pinned(problem).iter().all(|first| paid.checks.contains(first)), "a pinned check is left out")?;
    }
    match step {
        Step::Check(_) => Err(Wrong("not an end")),
        Step::Exit(_) | Step::None => ensure(repair.is_none(), "a cause ends without its repair").map(|()| sum),
        Step::Repair { repair: ended, .. } => {
            ensure(may_end(problem, &set) && repair == Some(*ended), "the search ends too early").map(|()| sum)
        }
        Step::Group { order, .. } => {
            ensure(!may_end(problem, &set) && stuck(problem, paid, &set), "a check could still tell these apart")?;
            for repair in order {
                sum += left * Ratio::from(u128::from(problem.repairs[*repair].seconds));
                let cured = causes
                    .iter()
                    .filter(|(cause, _)| problem.causes.get(**cause).map(|one| one.repair) == Some(*repair));
                left -= cured.map(|(_, weight)| *weight).sum::<Ratio<u128>>();
            }
            let only_none = causes.get(&problem.causes.len()).copied().unwrap_or(Ratio::from(0));
            ensure(left == only_none, "a group leaves a repair out").map(|()| sum)
        }
    }
}

/// No check that was not taken yet has an answer that leaves some of these, but not all.
fn stuck(problem: &Problem, paid: &Paid, causes: &BTreeSet<usize>) -> bool {
    (0..problem.checks.len()).filter(|check| !paid.checks.contains(check)).all(|check| {
        let all: Vec<BTreeSet<usize>> = causes.iter().map(|cause| answers(problem, check, *cause)).collect();
        all.windows(2).all(|two| two[0] == two[1])
    })
}
