//! The single steps from a problem to its model.

use std::collections::BTreeMap;

use super::model::Unit;
use super::problem::{Check, PlanError, Problem, Then};
use super::set::{self, Set};

pub(super) fn sorted_by<T>(list: &[T], id: impl Fn(&T) -> &String) -> Vec<usize> {
    let mut order: Vec<usize> = (0..list.len()).collect();
    order.sort_by_key(|at| id(&list[*at]));
    order
}

pub(super) fn ranks(order: &[usize]) -> Vec<usize> {
    let mut ranks = vec![0; order.len()];
    order.iter().enumerate().for_each(|(rank, at)| ranks[*at] = rank);
    ranks
}

pub(super) fn mask(bits: impl Iterator<Item = bool>) -> u64 {
    bits.enumerate().fold(0, |all, (at, bit)| all | (u64::from(bit) << at))
}

pub(super) fn sets(answers: &[u64], count: usize) -> Vec<Set> {
    let of = |outcome: usize| (0..answers.len()).filter(move |unit| answers[*unit] >> outcome & 1 == 1);
    (0..count).map(|outcome| of(outcome).map(set::one).fold(0, |all, one| all | one)).collect()
}

/// Per cause ("none of these" last, if present), the answers that leave it as bits over the answers sorted by label.
pub(super) fn answers(problem: &Problem, check: &Check) -> Vec<u64> {
    let mut bits = vec![0; problem.causes.len() + usize::from(problem.none_of_these.is_some())];
    for (place, outcome) in sorted_by(&check.outcomes, |outcome| &outcome.label).into_iter().enumerate() {
        let outcome = &check.outcomes[outcome];
        if let Then::Leaves(causes) = &outcome.then {
            causes.iter().for_each(|cause| bits[*cause] |= 1 << place);
        }
        if problem.none_of_these.is_some() && outcome.none {
            bits[problem.causes.len()] |= 1 << place;
        }
    }
    bits
}

/// Groups of causes with the same answers to every check, each sorted by id, in the order of their first ids.
pub(super) fn merge(problem: &Problem, raw: &[Vec<u64>]) -> Vec<Vec<usize>> {
    let mut order = sorted_by(&problem.causes, |cause| &cause.id);
    order.extend(problem.none_of_these.map(|_| problem.causes.len()));
    let mut places: BTreeMap<Vec<u64>, usize> = BTreeMap::new();
    let mut groups: Vec<Vec<usize>> = Vec::new();
    for cause in order {
        let signature = raw.iter().map(|answers| answers[cause]).collect();
        let place = *places.entry(signature).or_insert(groups.len());
        match groups.get_mut(place) {
            Some(group) => group.push(cause),
            None => groups.push(vec![cause]),
        }
    }
    groups
}

/// Weights without their common divisor, "none of these" last; all equal when none was given.
pub(super) fn weights(problem: &Problem) -> (Vec<u128>, u128, bool) {
    let given = problem.causes.iter().map(|cause| cause.weight);
    let mut weights: Vec<u128> = given.chain([problem.none_of_these.unwrap_or(0)]).collect();
    let divisor = weights.iter().copied().fold(0, gcd);
    if divisor == 0 {
        weights[..problem.causes.len()].fill(1);
        return (weights, 1, true);
    }
    (weights.into_iter().map(|weight| weight / divisor).collect(), divisor, false)
}

pub(super) fn gcd(mut a: u128, mut b: u128) -> u128 {
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a
}

/// The least number that every cause's splits divide.
pub(super) fn common_factor(raw: &[Vec<u64>], members: &[Vec<usize>]) -> Result<u128, PlanError> {
    let too_large = PlanError::TooLarge("too many checks that are not sharp for one cause");
    let mut factor = 1_u128;
    for cause in members.iter().map(|members| members[0]) {
        let parts = raw.iter().map(|answers| u128::from(answers[cause].count_ones()));
        let parts = parts.filter(|parts| *parts > 1).try_fold(1_u128, |all, parts| all.checked_mul(parts));
        let merged = parts.and_then(|parts| (factor / gcd(factor, parts)).checked_mul(parts));
        factor = merged.ok_or_else(|| too_large.clone())?;
    }
    Ok(factor)
}

pub(super) fn unit(problem: &Problem, members: Vec<usize>, weight_of: &[u128]) -> Unit {
    let real: Vec<usize> = members.iter().copied().filter(|member| *member < problem.causes.len()).collect();
    let first = real.first().map(|cause| problem.causes[*cause].repair);
    let shared = first.filter(|repair| real.iter().all(|cause| problem.causes[*cause].repair == *repair));
    Unit {
        weight: members.iter().fold(0, |sum, member| sum.saturating_add(weight_of[*member])),
        none: real.len() < members.len(),
        repair: shared,
        eliminable: real.iter().all(|cause| problem.causes[*cause].by_elimination),
        members,
    }
}

pub(super) fn extras(problem: &Problem) -> Result<Vec<u64>, PlanError> {
    let accesses = problem.accesses.iter().map(|access| access.seconds);
    let all: Vec<u64> = accesses.chain(problem.tasks.iter().map(|task| task.seconds)).collect();
    if all.len() > 64 { Err(PlanError::TooLarge("more than 64 accesses and make-safe tasks")) } else { Ok(all) }
}

/// For each access, itself and everything it needs.
pub(super) fn access_closures(problem: &Problem) -> Vec<u64> {
    let mut closed: Vec<u64> = (0..problem.accesses.len()).map(|at| 1 << at).collect();
    for _ in 0..closed.len() {
        for at in 0..closed.len() {
            closed[at] |= problem.accesses[at].needs.iter().fold(0, |all, need| all | closed[*need]);
        }
    }
    closed
}

pub(super) fn needs(problem: &Problem, check: &Check, closed: &[u64]) -> u64 {
    let accesses = check.accesses.iter().fold(0, |all, access| all | closed[*access]);
    check.make_safe.iter().fold(accesses, |all, task| all | 1 << (problem.accesses.len() + task))
}

/// Pinned checks in the order given, each after the checks it comes after; as places in `order`.
pub(super) fn pinned(problem: &Problem, order: &[usize]) -> Vec<usize> {
    let mut list = Vec::new();
    for at in (0..problem.checks.len()).filter(|at| problem.checks[*at].first) {
        pin(problem, at, &mut list);
    }
    list.into_iter().filter_map(|at| order.iter().position(|check| *check == at)).collect()
}

pub(super) fn pin(problem: &Problem, at: usize, list: &mut Vec<usize>) {
    if list.contains(&at) {
        return;
    }
    // Depth is bounded: `validate` has refused circles.
    problem.checks[at].after.iter().for_each(|earlier| pin(problem, *earlier, list));
    list.push(at);
}
