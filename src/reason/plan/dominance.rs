//! Checks that another check makes pointless at a position.
//!
//! A check that splits at least as finely, needs no more extras and the same state, and costs no more is never worse:
//! the other's tree can be walked after it with every set smaller. Equal in all of these, the first id stays.

use super::model::{Model, Probe};
use super::set::Set;
use super::state::State;

/// The useful probes without the dominated ones, in order.
pub(super) fn undominated(model: &Model, state: &State, useful: &[u16]) -> Vec<u16> {
    let parts: Vec<Vec<Set>> = useful.iter().map(|at| parts(&model.probes[usize::from(*at)], state)).collect();
    let probe = |place: usize| &model.probes[usize::from(useful[place])];
    let mut kept: Vec<usize> = Vec::new();
    let mut order: Vec<usize> = (0..useful.len()).collect();
    order.sort_by_key(|place| (probe(*place).cost, useful[*place]));
    for place in order {
        let mine = probe(place);
        let beaten = |other: &usize| {
            covers(probe(*other), mine, state) && finer(&parts[*other], &parts[place])
        };
        if mine.tracked != 0 || mine.after != 0 || !kept.iter().any(beaten) {
            kept.push(place);
        }
    }
    kept.sort_unstable();
    kept.into_iter().map(|place| useful[place]).collect()
}

fn parts(probe: &Probe, state: &State) -> Vec<Set> {
    probe.sets.iter().map(|set| set & state.set).filter(|set| *set != 0).collect()
}

/// `other` is no dearer in any way and bound to nothing.
fn covers(other: &Probe, mine: &Probe, state: &State) -> bool {
    other.tracked == 0
        && other.after == 0
        && other.state == mine.state
        && other.cost <= mine.cost
        && other.extras & !state.open & !mine.extras == 0
}

/// Every part of `fine` lies within a part of `coarse`.
fn finer(fine: &[Set], coarse: &[Set]) -> bool {
    fine.len() >= coarse.len() && fine.iter().all(|part| coarse.iter().any(|whole| part & !whole == 0))
}
