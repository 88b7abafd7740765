//! Checks that another check makes pointless at a position.
//!
//! A check that splits at least as finely, needs no more extras and the same state, and costs no more is never worse:
//! the other's tree can be walked after it with every set smaller. Equal in all of these, the first id stays. That holds
//! where leaving a check out of a path makes no later one dearer, so where changes of state are direct.

use std::collections::HashMap;

use super::hash::Quick;
use super::model::{Model, Probe};
use super::set::Set;
use super::state::State;

/// The useful probes without the dominated ones, in order.
pub(super) fn undominated(model: &Model, state: &State, useful: &[u16]) -> Vec<u16> {
    if !model.direct {
        return useful.to_vec();
    }
    let probe = |at: u16| &model.probes[usize::from(at)];
    let mut order: Vec<u16> = useful.to_vec();
    order.sort_by_key(|at| (probe(*at).cost, *at));
    let mut kept = Kept::default();
    for at in order {
        let (mine, parts) = (probe(at), parts(probe(at), state));
        let free = mine.tracked == 0 && mine.after == 0;
        let beaten = |other: &u16| covers(probe(*other), mine, state);
        if !(free && kept.finer(&parts).any(beaten)) {
            kept.add(at, parts);
        }
    }
    kept.all.sort_unstable();
    kept.all
}

/// What has been kept so far. Of two checks with two answers, one is finer only when they part the units alike.
#[derive(Default)]
struct Kept {
    all: Vec<u16>,
    two: HashMap<Set, Vec<u16>, Quick>,
    more: Vec<(u16, Vec<Set>)>,
}

impl Kept {
    fn add(&mut self, at: u16, parts: Vec<Set>) {
        self.all.push(at);
        match parts.len() {
            2 => self.two.entry(first_part(&parts)).or_default().push(at),
            _ => self.more.push((at, parts)),
        }
    }

    fn finer<'a>(&'a self, coarse: &'a [Set]) -> impl Iterator<Item = &'a u16> {
        let alike = (coarse.len() == 2).then(|| self.two.get(&first_part(coarse))).flatten();
        let more = self.more.iter().filter(move |(_, fine)| finer(fine, coarse)).map(|(at, _)| at);
        alike.into_iter().flatten().chain(more)
    }
}

/// The part that holds the first unit; of two sharp parts it names both.
fn first_part(parts: &[Set]) -> Set {
    let first = |part: &&Set| part.trailing_zeros();
    parts.iter().min_by_key(first).copied().unwrap_or(0)
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
