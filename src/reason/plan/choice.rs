//! Which causes of one repair are shown and which are left over together at the end: the cheapest choice, by branch and
//! bound.

use super::set::{Set, one};

/// Positions that may be opened; a choice that needs more is answered by what no choice goes below.
const MOST: u32 = 200_000;

/// What a choice costs, without what does not depend on it. Left over units cost nothing against each other.
pub(super) struct Costs {
    /// Of a unit that is left over.
    pub kept: Vec<u128>,
    /// Of a unit that is shown; none where no check shows it.
    pub shown: Vec<Option<u128>>,
    /// `wait[a][b]`: of the check that shows `a` when it stands on the path of `b`.
    pub wait: Vec<Vec<u128>>,
}

impl Costs {
    /// Of two units, the first shown or not, the second shown or not.
    fn pair(&self, (a, shown): (usize, bool), (b, also): (usize, bool)) -> u128 {
        match (shown, also) {
            (true, true) => self.wait[a][b].min(self.wait[b][a]),
            (true, false) => self.wait[a][b],
            (false, true) => self.wait[b][a],
            (false, false) => 0,
        }
    }

    fn own(&self, unit: usize, is_shown: bool) -> Option<u128> {
        if is_shown { self.shown[unit] } else { Some(self.kept[unit]) }
    }
}

/// The least cost, and the places of the units left over in that choice; no places where it was not proved.
pub(super) fn least(costs: &Costs) -> (u128, Option<Set>) {
    let all = costs.kept.len();
    let start: Vec<[Option<u128>; 2]> = (0..all).map(|unit| [costs.own(unit, false), costs.own(unit, true)]).collect();
    let floor = start.iter().map(cheaper).sum();
    let mut search = Search { costs, best: None, opened: 0 };
    search.open(0, 0, &start, 0);
    match search.best {
        Some((cost, kept)) if search.opened < MOST => (cost, Some(kept)),
        _ => (floor, None),
    }
}

/// A unit can always be left over.
fn cheaper(own: &[Option<u128>; 2]) -> u128 {
    own.iter().flatten().min().copied().unwrap_or(u128::MAX)
}

struct Search<'a> {
    costs: &'a Costs,
    best: Option<(u128, Set)>,
    opened: u32,
}

impl Search<'_> {
    /// `own` holds what each unit from `at` on costs left over and shown, with its pairs among those before `at`.
    fn open(&mut self, at: usize, sum: u128, own: &[[Option<u128>; 2]], kept: Set) {
        let floor = sum + own.iter().map(cheaper).sum::<u128>();
        if self.opened >= MOST || self.best.is_some_and(|(best, _)| floor >= best) {
            return;
        }
        self.opened += 1;
        let Some((first, rest)) = own.split_first() else {
            self.best = Some((sum, kept));
            return;
        };
        let shown_first = first[1].is_some_and(|shown| Some(shown) < first[0]);
        for is_shown in [shown_first, !shown_first] {
            let Some(cost) = first[usize::from(is_shown)] else { continue };
            let pair = |unit: usize, other: bool| self.costs.pair((at, is_shown), (unit, other));
            let next: Vec<_> = (at + 1..)
                .zip(rest)
                .map(|(unit, [left, shown])| {
                    [left.map(|own| own + pair(unit, false)), shown.map(|own| own + pair(unit, true))]
                })
                .collect();
            self.open(at + 1, sum + cost, &next, if is_shown { kept } else { kept | one(at) });
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Costs that differ from seed to seed, small enough that equal ones occur.
    fn costs(seed: u64, units: usize) -> Costs {
        let mut state = seed;
        let mut roll = |below: u64| {
            state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            u128::from((state >> 33) % below)
        };
        Costs {
            kept: (0..units).map(|_| roll(60)).collect(),
            shown: (0..units).map(|_| (roll(6) > 0).then(|| roll(40))).collect(),
            wait: (0..units).map(|_| (0..units).map(|_| roll(12)).collect()).collect(),
        }
    }

    fn cost(costs: &Costs, kept: Set) -> Option<u128> {
        let units = costs.kept.len();
        let is_shown = |unit: usize| kept & one(unit) == 0;
        let own = (0..units).map(|unit| costs.own(unit, is_shown(unit))).sum::<Option<u128>>()?;
        let pairs = (0..units).flat_map(|a| (0..a).map(move |b| (a, b)));
        Some(own + pairs.map(|(a, b)| costs.pair((a, is_shown(a)), (b, is_shown(b)))).sum::<u128>())
    }

    #[test]
    fn no_other_choice_is_cheaper() {
        for seed in 0..300 {
            let costs = costs(seed, 1 + seed as usize % 9);
            let all = (0..one(costs.kept.len())).filter_map(|kept| cost(&costs, kept)).min();
            let (least, kept) = least(&costs);
            assert_eq!(Some(least), all);
            assert_eq!(cost(&costs, kept.unwrap()), all, "the choice costs what it is said to");
        }
    }

    #[test]
    fn a_choice_too_large_to_prove_is_bounded_from_below() {
        let units = 40;
        let mut costs = costs(7, units);
        costs.wait.iter_mut().flatten().for_each(|wait| *wait += 3);
        costs.kept.iter_mut().for_each(|kept| *kept = 70);
        let (floor, kept) = least(&costs);
        let any = [0, (one(units) - 1) & 0x00ff_00ff_00ff].into_iter().filter_map(|kept| cost(&costs, kept)).min();
        assert!(kept.is_some() || any.is_none_or(|any| floor <= any));
        assert!(floor <= cost(&costs, one(units) - 1).unwrap());
    }
}
