//! From a fault of the guide to the question that the plan solver answers.

use std::collections::{BTreeMap, BTreeSet};

use super::plan::{Access, Cause, Check, Outcome, Problem, Repair, States, Task, Then};
use super::records;
use crate::model::quantity::Quantity;
use crate::model::{self, Answer, Fault, Guide, Likelihood, Link, Procedure, State, Verdict};

/// Stands for the lack of a declared change between two states: it costs nothing, and no finding hangs on it.
const UNKNOWN_CHANGE: u64 = 0;

/// A fault as a problem, and what the positions in it stand for.
#[derive(Debug, Clone, Default)]
pub struct Asked {
    pub problem: Problem,
    /// Procedures behind [`Problem::tasks`], by id.
    pub tasks: Vec<String>,
    /// States behind [`Problem::states`], by id; the first may be empty: the state the machine was found in.
    pub states: Vec<String>,
}

/// The writer's share of a cause, or that of the guide's word for it.
pub fn share_of(guide: &Guide, cause: &model::Cause) -> u32 {
    match &cause.likelihood {
        Some(Likelihood::Share(share)) => share.value,
        Some(Likelihood::Word(word)) => guide.likelihood_words.get(&word.value).map_or(0, |word| word.share.value),
        None => 0,
    }
}

/// Weights of a fault's causes: the writer's shares, worth so many jobs together, and every job in which a cause was
/// shown. Whole numbers in proportion to the posterior means of the Dirichlet-multinomial model.
///
/// `counts` says how often each cause was shown.
pub fn weights(guide: &Guide, fault: &Fault, counts: &[u64]) -> Vec<u128> {
    let shares: Vec<u128> = fault.causes.iter().map(|cause| u128::from(share_of(guide, cause))).collect();
    let all: u128 = shares.iter().sum();
    let jobs = u128::from(records::opinion_jobs(guide));
    if counts.iter().all(|count| *count == 0) || all == 0 {
        return shares;
    }
    shares.iter().zip(counts).map(|(share, count)| share * jobs + u128::from(*count) * all).collect()
}

/// Puts a fault as a problem. Mentions that name nothing are left out; they have findings of their own.
pub fn of(guide: &Guide, fault: &Fault, counts: &[u64]) -> Asked {
    let mut builder = Builder {
        guide,
        fault,
        counts,
        causes: places(fault.causes.iter().map(|cause| cause.id.value.as_str())),
        checks: places(fault.checks.iter().map(|check| check.id.value.as_str())),
        accesses: places(fault.accesses.iter().map(|access| access.id.value.as_str())),
        repairs: BTreeMap::new(),
        asked: Asked::default(),
        state_places: BTreeMap::new(),
    };
    builder.start();
    builder.causes();
    builder.accesses();
    builder.checks();
    builder.changes();
    builder.asked
}

/// Where each id stands first.
fn places<'g>(ids: impl Iterator<Item = &'g str>) -> BTreeMap<&'g str, usize> {
    let mut places = BTreeMap::new();
    ids.enumerate().for_each(|(place, id)| {
        places.entry(id).or_insert(place);
    });
    places
}

struct Builder<'g> {
    guide: &'g Guide,
    fault: &'g Fault,
    counts: &'g [u64],
    causes: BTreeMap<&'g str, usize>,
    checks: BTreeMap<&'g str, usize>,
    accesses: BTreeMap<&'g str, usize>,
    repairs: BTreeMap<String, usize>,
    asked: Asked,
    state_places: BTreeMap<String, usize>,
}

impl Builder<'_> {
    /// The machine stands as confirming the complaint has left it.
    fn start(&mut self) {
        let state = self.fault.verify.as_ref().and_then(|verify| verify.state.as_ref());
        let id = state.map(|state| state.as_str().to_owned()).unwrap_or_default();
        self.state_place(&id);
    }

    fn state_place(&mut self, id: &str) -> usize {
        if let Some(place) = self.state_places.get(id) {
            return *place;
        }
        let place = self.asked.states.len();
        self.asked.states.push(id.to_owned());
        self.state_places.insert(id.to_owned(), place);
        place
    }

    fn causes(&mut self) {
        let weights = weights(self.guide, self.fault, self.counts);
        for (cause, weight) in self.fault.causes.iter().zip(weights) {
            let repair = self.repair(cause);
            self.asked.problem.causes.push(Cause {
                id: cause.id.value.clone(),
                weight,
                repair,
                by_elimination: cause.by_elimination.is_some(),
            });
        }
        let none = self.fault.none_of_these.as_ref().map_or(0, |weight| u128::from(weight.value));
        let scaled = if self.scaled() { none * u128::from(records::opinion_jobs(self.guide)) } else { none };
        self.asked.problem.none_of_these = Some(scaled);
    }

    /// True where records have made the weights larger than the shares.
    fn scaled(&self) -> bool {
        self.counts.iter().any(|count| *count > 0)
    }

    /// The place of a cause's repair; a cause without one gets a repair of its own.
    fn repair(&mut self, cause: &model::Cause) -> usize {
        let id = cause.repair.as_ref().map_or(format!("{}?", cause.id.value), |link| link.as_str().to_owned());
        if let Some(place) = self.repairs.get(&id) {
            return *place;
        }
        let seconds = self.guide.procedures.find(&id).map_or(0, |procedure| u64::from(procedure.seconds.value));
        let place = self.asked.problem.repairs.len();
        self.asked.problem.repairs.push(Repair { id: id.clone(), seconds });
        self.repairs.insert(id, place);
        place
    }

    fn accesses(&mut self) {
        for access in &self.fault.accesses {
            let needs = access.needs.iter().filter_map(|link| self.access_place(link.as_str())).collect();
            let seconds = u64::from(access.seconds.value);
            self.asked.problem.accesses.push(Access { id: access.id.value.clone(), seconds, needs });
        }
    }

    fn access_place(&self, id: &str) -> Option<usize> {
        self.accesses.get(id).copied()
    }

    fn checks(&mut self) {
        for check in &self.fault.checks {
            let check = self.check(check);
            self.asked.problem.checks.push(check);
        }
    }

    fn check(&mut self, check: &model::Check) -> Check {
        let accesses: Vec<usize> = check.access.iter().filter_map(|link| self.access_place(link.as_str())).collect();
        let opened = self.with_needs(&accesses);
        let safe =
            opened.iter().filter_map(|place| self.fault.accesses.get(*place)).flat_map(|access| &access.make_safe);
        let safe: Vec<&Link<Procedure>> = safe.chain(&check.make_safe).collect();
        let opened_state = opened.iter().filter_map(|place| self.fault.accesses.get(*place)?.state.as_ref()).next();
        let state = check.state.as_ref().or(opened_state).map(|state: &Link<State>| self.state_place(state.as_str()));
        Check {
            id: check.id.value.clone(),
            seconds: u64::from(check.seconds.value),
            after: check.after.iter().filter_map(|link| self.checks.get(link.as_str()).copied()).collect(),
            first: check.first,
            outcomes: self.outcomes(check),
            cures: self.cures(check),
            make_safe: safe.into_iter().map(|link| self.task(link)).collect(),
            accesses,
            state,
        }
    }

    /// Accesses with those they need, each once.
    fn with_needs(&self, accesses: &[usize]) -> Vec<usize> {
        let mut wanted = accesses.to_vec();
        let mut found = BTreeSet::new();
        while let Some(place) = wanted.pop() {
            if found.insert(place) {
                let needs = self.fault.accesses.get(place).map(|access| access.needs.as_slice()).unwrap_or_default();
                wanted.extend(needs.iter().filter_map(|link| self.access_place(link.as_str())));
            }
        }
        found.into_iter().collect()
    }

    fn task(&mut self, link: &Link<Procedure>) -> usize {
        if let Some(place) = self.asked.tasks.iter().position(|task| task == link.as_str()) {
            return place;
        }
        let seconds = self.guide.procedures.get(&link.value).map_or(0, |procedure| u64::from(procedure.seconds.value));
        self.asked.problem.tasks.push(Task { id: link.as_str().to_owned(), seconds });
        self.asked.tasks.push(link.as_str().to_owned());
        self.asked.tasks.len() - 1
    }

    fn outcomes(&self, check: &model::Check) -> Vec<Outcome> {
        let sound = self.sound_answer(check);
        let sharpest = sharpest_answer(check);
        let outcome = |(place, answer): (usize, &Answer)| Outcome {
            label: label(check, place),
            then: self.then(answer),
            none: Some(place) == sound,
            wrong_per_million: wrong(check, Some(place) == sharpest),
        };
        check.answers.iter().enumerate().map(outcome).collect()
    }

    fn then(&self, answer: &Answer) -> Then {
        let place = |link: &Link<model::Cause>| self.causes.get(link.as_str()).copied();
        match &answer.go_to {
            // The number of the exit is the place of the other fault in the guide; the page only needs the answer.
            Some(fault) => Then::Exit(
                self.guide.faults.iter().position(|known| known.head.id.value == fault.as_str()).unwrap_or(0),
            ),
            None => Then::Leaves(answer.leaves.iter().filter_map(place).collect()),
        }
    }

    /// The answer of a machine with none of the causes: the one that says so, else the one whose band is fine, else the
    /// one that leaves most.
    fn sound_answer(&self, check: &model::Check) -> Option<usize> {
        if let Some(said) = check.answers.iter().position(|answer| answer.sound) {
            return Some(said);
        }
        let reading = check.reading.as_ref().and_then(|link| self.guide.readings.get(&link.value));
        let fine = |answer: &Answer| {
            let stands_for = |id: &str| answer.bands.iter().any(|band| band.as_str() == id);
            let mut bands = reading.iter().flat_map(|reading| &reading.bands);
            bands.any(|band| stands_for(&band.id.value) && band.verdict.value == Verdict::Fine)
        };
        // Where none of the causes is there, no repair that is tried cures.
        let cured = self.cures(check).map(|(_, place)| place);
        let stays = |(place, answer): &(usize, &Answer)| answer.go_to.is_none() && Some(*place) != cured;
        let possible = || check.answers.iter().enumerate().filter(stays);
        let by_band = possible().find(|(_, answer)| fine(answer)).map(|(place, _)| place);
        by_band.or_else(|| {
            possible()
                .max_by_key(|(place, answer)| (answer.leaves.len(), std::cmp::Reverse(*place)))
                .map(|(place, _)| place)
        })
    }

    fn cures(&self, check: &model::Check) -> Option<(usize, usize)> {
        let repair = *self.repairs.get(check.tries.as_ref()?.as_str())?;
        let cured = check.answers.iter().position(|answer| {
            let repairs = |link: &Link<model::Cause>| {
                let cause = self.asked.problem.causes.iter().find(|cause| cause.id == link.as_str());
                cause.is_some_and(|cause| cause.repair == repair)
            };
            !answer.leaves.is_empty() && answer.leaves.iter().all(repairs)
        })?;
        Some((repair, cured))
    }

    /// Seconds between the fault's states: the quickest way over declared changes.
    fn changes(&mut self) {
        let states = self.asked.states.as_slice();
        let mut changes: Changes<'_> = BTreeMap::new();
        for change in &self.guide.state_changes {
            let to = (change.to.as_str(), u64::from(change.seconds.value));
            changes.entry(change.from.as_str()).or_default().push(to);
        }
        let row = |from: &String| -> Vec<u64> {
            let ways = quickest(from, &changes);
            states.iter().map(|to| ways.get(to.as_str()).copied().unwrap_or(UNKNOWN_CHANGE)).collect()
        };
        let change = states.iter().map(row).collect();
        self.asked.problem.states = States { change, start: 0 };
    }
}

/// Where one change of state leads, and the seconds of it.
type Changes<'g> = BTreeMap<&'g str, Vec<(&'g str, u64)>>;

/// Seconds to every state that can be reached, the nearest first (Dijkstra 1959, cited from memory).
fn quickest<'g>(from: &'g str, changes: &Changes<'g>) -> BTreeMap<&'g str, u64> {
    let mut open = BTreeSet::from([(0_u64, from)]);
    let mut ways = BTreeMap::new();
    while let Some((seconds, state)) = open.pop_first() {
        if ways.contains_key(state) {
            continue;
        }
        ways.insert(state, seconds);
        for (to, more) in changes.get(state).into_iter().flatten() {
            open.insert((seconds.saturating_add(*more), to));
        }
    }
    ways
}

/// Answers are told apart by their place, since two may read the same.
fn label(check: &model::Check, place: usize) -> String {
    let says = check.answers.get(place).map(|answer| answer.says.value.as_str()).unwrap_or_default();
    let doubled = check.answers.iter().filter(|answer| answer.says.value == says).count() > 1;
    if doubled { format!("{says} [{}]", place + 1) } else { says.to_owned() }
}

/// The answer that says most: it leaves the fewest causes.
fn sharpest_answer(check: &model::Check) -> Option<usize> {
    let counted = check.answers.iter().enumerate().filter(|(_, answer)| answer.go_to.is_none());
    counted.min_by_key(|(place, answer)| (answer.leaves.len(), *place)).map(|(place, _)| place)
}

/// How often, per million, a machine that should give the answer gives another one.
fn wrong(check: &model::Check, sharpest: bool) -> u32 {
    let Some(rates) = &check.error_rates else { return 0 };
    let rate = if sharpest { rates.misses.as_ref() } else { rates.false_alarms.as_ref() };
    let share = rate.map_or(0.0, |rate: &crate::text::Located<Quantity>| rate.value.to_f64());
    (share.clamp(0.0, 1.0) * 1_000_000.0).round() as u32
}
