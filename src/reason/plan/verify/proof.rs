//! Checks a proof claim by claim: each reason is worked out again and must give the bound that is stated.

use std::collections::{BTreeMap, BTreeSet};

use num_rational::Ratio;

use super::position::{Position, Table, bits};
use super::{Wrong, ensure, may_end, price, weight};
use crate::reason::plan::certificate::Extra;
use crate::reason::plan::problem::Problem;
use crate::reason::plan::proof::{Because, Claim, Pairs, Proof, Taken};

/// Checks a proof and returns the bound it proves, in expected seconds.
///
/// # Errors
/// The first condition that does not hold.
pub fn proved_bound(problem: &Problem, proof: &Proof) -> Result<Ratio<u128>, Wrong> {
    let table = Table::new(problem, proof)?;
    let Some(first) = proof.claims.first() else { return Ok(Ratio::from(0)) };
    let mut places: Vec<Option<Position>> = vec![None; proof.claims.len()];
    places[0] = Some(table.start());
    for (at, claim) in proof.claims.iter().enumerate() {
        let place = places[at].take().ok_or(Wrong("a claim that nothing stands on"))?;
        ensure(!table.ends(&place), "a claim about an end")?;
        if let Because::Checks(checks) = &claim.because {
            for (taken, answer, to) in
                checks.iter().flat_map(|taken| taken.answers.iter().map(move |(answer, to)| (taken, *answer, *to)))
            {
                ensure(taken.check < problem.checks.len(), "a check that is not there")?;
                let next = table.follow(&place, taken.check, answer)?.ok_or(Wrong("an answer that leads nowhere"))?;
                ensure(at < to && to < places.len(), "a claim stands on one before it")?;
                let known = places[to].get_or_insert_with(|| next.clone());
                ensure(*known == next, "a claim about another position")?;
            }
        }
        ensure(bound(&table, &place, proof, claim)? == claim.bound, "a claim states another bound than it proves")?;
    }
    let total: u128 = (0..=problem.causes.len()).map(|cause| weight(problem, cause)).sum();
    Ok(Ratio::new(first.bound, total.max(1)) * Ratio::new(proof.divisor, proof.scale.max(1)))
}

fn bound(table: &Table, place: &Position, proof: &Proof, claim: &Claim) -> Result<u128, Wrong> {
    let all_first = place.first == table.first.len();
    ensure(all_first || matches!(claim.because, Because::Checks(_)), "a check that always comes first is left out")?;
    match &claim.because {
        Because::Tried => {
            ensure(table.offered(place).is_empty(), "a check could still tell these apart")?;
            Ok(tried(table, place, place.set))
        }
        Because::Levels => Ok(levels(table, place) + certain(table, place)),
        Because::Pairs(pairs) => Ok(worth(table, place, pairs)? + certain(table, place)),
        Because::Checks(checks) => cheapest(table, place, proof, checks),
    }
}

/// The repairs of a set of units one after the other, least seconds per weight first (Smith 1956, cited from memory).
fn tried(table: &Table, place: &Position, set: u128) -> u128 {
    let mut repairs: BTreeMap<usize, u128> = BTreeMap::new();
    let mut left = 0;
    for unit in bits(set) {
        let parts = place.parts.get(&unit).copied().unwrap_or(1);
        for cause in &table.units[unit] {
            left += table.weights[*cause] / parts;
            if let Some(one) = table.problem.causes.get(*cause) {
                *repairs.entry(one.repair).or_default() += table.weights[*cause] / parts;
            }
        }
    }
    let mut order: Vec<(u128, u128)> =
        repairs.into_iter().map(|(repair, cured)| (u128::from(table.problem.repairs[repair].seconds), cured)).collect();
    order.sort_by(|a, b| (a.1 == 0).cmp(&(b.1 == 0)).then((a.0 * b.1).cmp(&(b.0 * a.1))));
    order.into_iter().fold(0, |sum, (seconds, cured)| {
        let here = seconds * left;
        left -= cured;
        sum + here
    })
}

/// Repairs that have to be tried whatever the tree: those of units with several of them.
fn certain(table: &Table, place: &Position) -> u128 {
    let several = bits(place.set).filter(|unit| !may_end(table.problem, &table.causes(1 << unit)));
    several.map(|unit| tried(table, place, 1 << unit)).sum()
}

/// Two units that no path may end on together, and that some check tells apart for sure.
fn must_part(table: &Table, a: usize, b: usize) -> bool {
    let both = |left: &u128| left >> a & left >> b & 1 == 1;
    !may_end(table.problem, &table.causes(1 << a | 1 << b))
        && table.leaves.iter().any(|answers| !answers.iter().any(both))
}

/// Groups that must end apart need a check on every level; the d-th one on a path costs at least the d-th cheapest.
/// Of all trees with these leaves, Huffman's has the least weight on every level (Huffman 1952, cited from memory).
fn levels(table: &Table, place: &Position) -> u128 {
    let (mut left, mut weights) = (place.set, Vec::new());
    while left != 0 {
        let (mut group, mut fresh) = (0, left & left.wrapping_neg());
        while fresh != 0 {
            group |= fresh;
            let near = |unit: &usize| bits(group).any(|one| !must_part(table, one, *unit));
            fresh = bits(left & !group).filter(near).fold(0, |all, unit| all | 1 << unit);
        }
        weights.push(bits(group).map(|unit| table.weight(place, unit)).sum::<u128>());
        left &= !group;
    }
    let telling: Vec<usize> = table.offered(place).into_iter().filter(|check| table.tells(*check, place.set)).collect();
    let mut costs: Vec<u64> = telling.iter().map(|check| table.problem.checks[*check].seconds).collect();
    costs.sort_unstable();
    let parts = |check: &usize| table.leaves[*check].iter().filter(|left| *left & place.set != 0).count();
    let most = telling.iter().map(parts).max().unwrap_or(0).max(2);
    let Some(dearest) = costs.len().checked_sub(1) else { return 0 };
    while (weights.len() - 1) % (most - 1) != 0 {
        weights.push(0);
    }
    let mut merged = Vec::new();
    while weights.len() > 1 {
        weights.sort_unstable();
        merged.push(weights.drain(..most).sum::<u128>());
        weights.extend(merged.last());
    }
    let (mut level, mut width, mut sum) = (0, 1, 0);
    let mut rest = merged.len();
    while rest > 0 {
        let here = rest.min(width);
        let weight: u128 = merged[rest - here..rest].iter().sum();
        sum += weight * u128::from(costs[level.min(dearest)]);
        (rest, level, width) = (rest - here, level + 1, width.saturating_mul(most));
    }
    sum
}

/// Whatever the tree, a pair shares a check that separates it, and both of its paths pay for it. Every check shares out
/// what it costs each unit; what all of them give a pair, that pair is worth. Costs are whole: round up.
fn worth(table: &Table, place: &Position, proof: &Pairs) -> Result<u128, Wrong> {
    let offered = table.offered(place);
    let mut given: BTreeMap<(usize, usize), u128> = BTreeMap::new();
    let (mut seen, mut sum) = (BTreeSet::new(), 0);
    for pair in &proof.pairs {
        let (a, b) = pair.units;
        ensure(a < b && b < table.units.len() && seen.insert((a, b)), "a pair is counted twice")?;
        ensure(place.set >> a & place.set >> b & 1 == 1, "a unit that is not possible any more")?;
        ensure(must_part(table, a, b), "a pair need not be told apart")?;
        let apart = |check: &usize| table.leaves[*check].iter().any(|left| (left >> a ^ left >> b) & 1 == 1);
        let givers: Vec<usize> = pair.gifts.iter().map(|(check, _)| *check).collect();
        ensure(offered.iter().copied().filter(apart).eq(givers), "a check that separates a pair gives nothing")?;
        for (check, one) in &pair.gifts {
            *given.entry((*check, a)).or_default() += one;
            *given.entry((*check, b)).or_default() +=
                pair.worth.checked_sub(*one).ok_or(Wrong("a gift over its worth"))?;
        }
        sum += pair.worth;
    }
    let (mut lent, mut prices) = (BTreeMap::new(), BTreeMap::new());
    for (check, extra, unit, amount) in &proof.loans {
        let owes = match extra {
            Extra::State(to) => {
                table.problem.checks.get(*check).is_some_and(|one| one.state == Some(*to)) && place.at != Some(*to)
            }
            extra => table.extras.get(*check).is_some_and(|all| all.contains(extra)) && !place.open.contains(extra),
        };
        ensure(owes && *unit < table.units.len(), "a check was lent what it does not pay")?;
        *lent.entry((*check, *unit)).or_insert(0) += amount;
        *prices.entry((*extra, *unit)).or_insert(0_u128) += amount;
    }
    let whole = |seconds: u64, unit: usize| u128::from(seconds) * table.weight(place, unit) * proof.room;
    let fair =
        |((extra, unit), amount): (&(Extra, usize), &u128)| *amount <= whole(price(table.problem, *extra), *unit);
    ensure(prices.iter().all(fair), "more was lent of an extra than its price")?;
    for ((check, unit), amount) in given {
        let beyond = amount.saturating_sub(whole(table.problem.checks[check].seconds, unit));
        ensure(
            beyond == lent.remove(&(check, unit)).unwrap_or(0),
            "a check gives other than its budget and its loans",
        )?;
    }
    ensure(lent.is_empty(), "a loan to nobody")?;
    ensure(proof.room > 0, "no room")?;
    Ok(sum.div_ceil(proof.room))
}

/// Every check that may come next costs what it takes here and what was claimed of its answers; one of them comes.
fn cheapest(table: &Table, place: &Position, proof: &Proof, checks: &[Taken]) -> Result<u128, Wrong> {
    let ready = table.offered(place).into_iter().filter(|check| table.ready(place, *check));
    ensure(ready.eq(checks.iter().map(|taken| taken.check)), "a check that may come next is left out")?;
    let mass: u128 = bits(place.set).map(|unit| table.weight(place, unit)).sum();
    let mut least = None;
    for taken in checks {
        let answers: BTreeSet<usize> = taken.answers.iter().map(|(answer, _)| *answer).collect();
        ensure(answers.len() == taken.answers.len(), "an answer is counted twice")?;
        let after: u128 = taken.answers.iter().map(|(_, to)| proof.claims[*to].bound).sum();
        let all = mass * table.seconds(place, taken.check) + after;
        least = Some(least.map_or(all, |least: u128| least.min(all)));
    }
    least.ok_or(Wrong("no check is left, but repairs are not tried"))
}
