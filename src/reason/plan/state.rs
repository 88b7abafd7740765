//! Where a search stands: what is still possible, what has been paid for, and what one more check would cost.

use super::model::{Model, Probe};
use super::set::{Set, members};

/// One position of the search. Two positions with the same future compare equal once [`Model::settle`] has seen them.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub(super) struct State {
    /// Units still possible.
    pub set: Set,
    /// Tracked checks already taken.
    pub done: u128,
    /// Extras already paid for.
    pub open: u64,
    /// State of the machine.
    pub at: u8,
}

/// What follows one answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Branch {
    /// Place of the answer in the probe.
    pub outcome: usize,
    pub state: State,
    /// The answer leads to another fault.
    pub exit: bool,
}

impl Model {
    /// The position before any check.
    pub fn root(&self) -> State {
        let set = (0..self.units.len()).fold(0, |all, unit| all | super::set::one(unit));
        State { set, done: 0, open: 0, at: self.start }
    }

    /// The position before any check, for a model too wide for sets.
    pub fn start_wide(&self) -> State {
        State { set: 0, done: 0, open: 0, at: self.start }
    }

    /// Weight of everything still possible.
    pub fn mass(&self, state: &State) -> u128 {
        members(state.set).map(|unit| self.weight(unit, state.done)).sum()
    }

    /// Some answer would leave some, but not all.
    pub fn splits(&self, probe: &Probe, state: &State) -> bool {
        probe.tracked & state.done == 0
            && probe.sets.iter().any(|set| {
                let left = set & state.set;
                left != 0 && left != state.set
            })
    }

    /// The search may stop here on one repair.
    pub fn ended(&self, set: Set) -> bool {
        set & (set - 1) == 0 && self.may_end(members(set)) || {
            let first = set.trailing_zeros() as usize;
            set & self.must[first] == 0 && self.may_end(members(set))
        }
    }

    /// Places of the probes that split the state, and of those that must come before one of them.
    pub fn useful(&self, state: &State) -> Vec<u16> {
        let splitting = |at: &usize| self.splits(&self.probes[*at], state);
        let mut list: Vec<usize> = (0..self.probes.len()).filter(splitting).collect();
        let mut at = 0;
        while at < list.len() {
            let missing = self.probes[list[at]].after & !state.done;
            if missing != 0 {
                let earlier = (0..self.probes.len()).filter(|other| self.probes[*other].tracked & missing != 0);
                let new: Vec<usize> = earlier.filter(|other| !list.contains(other)).collect();
                list.extend(new);
            }
            at += 1;
        }
        list.sort_unstable();
        list.into_iter().map(|at| at as u16).collect()
    }

    /// The check may be taken now.
    pub fn ready(&self, probe: &Probe, state: &State) -> bool {
        probe.after & !state.done == 0
    }

    /// All seconds of taking a check here: itself, what must be opened and made safe, the change of state.
    pub fn step(&self, probe: &Probe, state: &State) -> u64 {
        let change = probe.state.map_or(0, |to| self.change[usize::from(state.at)][usize::from(to)]);
        probe.cost + self.extra_seconds(probe.extras & !state.open) + change
    }

    /// All seconds of a check on a machine nobody has touched.
    pub fn step_untouched(&self, probe: &Probe) -> u64 {
        self.step(probe, &self.start_wide())
    }

    /// The state after a check, before its answer is known.
    pub fn taken(&self, probe: &Probe, state: &State) -> State {
        State {
            set: state.set,
            done: state.done | probe.tracked,
            open: state.open | probe.extras,
            at: probe.state.unwrap_or(state.at),
        }
    }

    /// What follows each possible answer; not settled.
    pub fn branches<'a>(&self, probe: &'a Probe, state: &State) -> impl Iterator<Item = Branch> + use<'a> {
        let taken = self.taken(probe, state);
        probe.sets.iter().enumerate().filter_map(move |(outcome, set)| {
            let left = set & taken.set;
            let exit = probe.exits >> outcome & 1 == 1;
            (left != 0).then_some(Branch { outcome, state: State { set: left, ..taken }, exit })
        })
    }

    /// Forgets what no later check can need: the largest saving of states.
    pub fn settle(&self, state: State) -> State {
        let useful = self.useful(&state);
        self.settle_for(state, &useful)
    }

    /// [`Model::settle`] where the useful probes are known.
    pub fn settle_for(&self, state: State, useful: &[u16]) -> State {
        let mut needed = State { set: state.set, done: 0, open: 0, at: 0 };
        for probe in useful.iter().map(|at| &self.probes[usize::from(*at)]) {
            needed.open |= probe.extras;
            needed.done |= probe.after | probe.tracked;
            needed.at |= u8::from(probe.state.is_some());
        }
        // Splits of a unit count only through its weight.
        if state.done & !needed.done != 0 {
            let split = members(state.set).flat_map(|unit| self.splits[unit].iter()).fold(0, |all, (bit, _)| all | bit);
            needed.done |= split;
        }
        let at = if needed.at == 0 { 0 } else { state.at };
        State { set: state.set, done: state.done & needed.done, open: state.open & needed.open, at }
    }
}
