//! The question of each fault as data for the page's script, so that it can plan again from wherever the reader stands.
//!
//! One classic script a fault, with nothing but a literal in it. Lists refer to each other by position, in the order of
//! the guide, but for what is opened: that stands behind what it needs. What is false, empty or nothing is left out. The reader of it is `script/plan.js`.

use std::collections::BTreeSet;

use serde::{Serialize, Serializer};

use super::place::Place;
use crate::model::{Entry, Fault, Guide, Need};
use crate::reason::FaultPlan;
use crate::reason::plan;
use crate::reason::walk::{self, Walk};

/// Largest whole number that a script holds exactly; larger ones are written as text.
const MOST_EXACT: u128 = (1 << 53) - 1;

/// The path of a fault's data, from the top folder.
pub(super) fn path(fault: &str) -> String {
    format!("walks/{fault}.js")
}

/// The data of a fault; none where it cannot be planned.
pub(super) fn script(place: Place<'_>, fault: &Fault) -> Option<String> {
    let planned = place.facts.plans.get(fault.id())?;
    let question = Maker { place, planned, walk: &walk::of(fault, planned) }.question(fault.id());
    let json = serde_json::to_string(&question).ok()?;
    Some(format!(
        "var Bayleaf=Bayleaf||{{}};Bayleaf.walks=Bayleaf.walks||{{}};Bayleaf.walks[{}]={json};\n",
        serde_json::to_string(fault.id()).ok()?
    ))
}

/// A whole number of any size.
#[derive(Clone, Copy, Default)]
struct Whole(u128);

impl Serialize for Whole {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        match u64::try_from(self.0) {
            Ok(small) if self.0 <= MOST_EXACT => serializer.serialize_u64(small),
            _ => serializer.serialize_str(&self.0.to_string()),
        }
    }
}

impl From<u64> for Whole {
    fn from(value: u64) -> Self {
        Self(value.into())
    }
}

fn is_false(value: &bool) -> bool {
    !value
}

#[derive(Serialize)]
struct Question {
    fault: String,
    causes: Vec<Cause>,
    /// Weight of "none of these".
    #[serde(skip_serializing_if = "Option::is_none")]
    none: Option<Whole>,
    repairs: Vec<Repair>,
    /// What is opened, then what makes safe.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    extras: Vec<Extra>,
    /// Ids of the machine's states, and seconds from one (row) to another.
    states: Vec<String>,
    change: Vec<Vec<Whole>>,
    start: usize,
    checks: Vec<Check>,
}

#[derive(Serialize)]
struct Cause {
    id: String,
    weight: Whole,
    repair: usize,
    /// The search may end on it by elimination.
    #[serde(skip_serializing_if = "is_false")]
    eliminable: bool,
}

#[derive(Serialize)]
struct Repair {
    id: String,
    seconds: Whole,
    /// `conditional` or `required`.
    #[serde(skip_serializing_if = "Option::is_none")]
    recalibration: Option<&'static str>,
    /// Ids of the page's endings with this repair.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    at: Vec<String>,
}

#[derive(Serialize)]
struct Extra {
    id: String,
    seconds: Whole,
    /// It makes safe.
    #[serde(skip_serializing_if = "is_false")]
    safe: bool,
}

#[derive(Serialize)]
struct Check {
    id: String,
    seconds: Whole,
    /// In order, with all that they need.
    #[serde(skip_serializing_if = "BTreeSet::is_empty")]
    extras: BTreeSet<usize>,
    #[serde(skip_serializing_if = "Option::is_none")]
    state: Option<usize>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    after: Vec<usize>,
    #[serde(skip_serializing_if = "is_false")]
    first: bool,
    /// Repair it makes, and the answer that says it cured.
    #[serde(skip_serializing_if = "Option::is_none")]
    cures: Option<(usize, usize)>,
    /// Ids of the page's sections with this check.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    at: Vec<String>,
    answers: Vec<Answer>,
}

#[derive(Serialize)]
struct Answer {
    #[serde(skip_serializing_if = "Option::is_none")]
    leaves: Option<Vec<usize>>,
    /// Id of the fault it leads to.
    #[serde(skip_serializing_if = "Option::is_none")]
    exit: Option<String>,
    /// A machine with none of the causes gives it.
    #[serde(skip_serializing_if = "is_false")]
    none: bool,
    /// Per million, how often another answer comes in its place.
    #[serde(skip_serializing_if = "Option::is_none")]
    wrong: Option<u32>,
}

struct Maker<'g, 'w> {
    place: Place<'g>,
    planned: &'g FaultPlan,
    walk: &'w Walk,
}

impl Maker<'_, '_> {
    fn question(&self, fault: &str) -> Question {
        let problem = &self.planned.asked.problem;
        let cause = |cause: &plan::Cause| Cause {
            id: cause.id.clone(),
            weight: Whole(cause.weight),
            repair: cause.repair,
            eliminable: cause.by_elimination,
        };
        let opened = in_order(&problem.accesses);
        let access = opened.iter().map(|(at, _)| (&problem.accesses[*at].id, problem.accesses[*at].seconds, false));
        let task = problem.tasks.iter().map(|task| (&task.id, task.seconds, true));
        let extra = |(id, seconds, safe): (&String, u64, bool)| Extra { id: id.clone(), seconds: seconds.into(), safe };
        let row = |row: &Vec<u64>| row.iter().map(|seconds| Whole::from(*seconds)).collect();
        Question {
            fault: fault.to_owned(),
            causes: problem.causes.iter().map(cause).collect(),
            none: problem.none_of_these.map(Whole),
            repairs: problem.repairs.iter().enumerate().map(|(at, repair)| self.repair(at, repair)).collect(),
            extras: access.chain(task).map(extra).collect(),
            states: self.planned.asked.states.clone(),
            change: problem.states.change.iter().map(row).collect(),
            start: problem.states.start,
            checks: problem.checks.iter().enumerate().map(|(at, check)| self.check(at, check, &opened)).collect(),
        }
    }

    fn repair(&self, at: usize, repair: &plan::Repair) -> Repair {
        let endings = self.walk.endings.iter().enumerate().filter(|(_, ending)| ending.repairs.contains(&at));
        Repair {
            id: repair.id.clone(),
            seconds: repair.seconds.into(),
            recalibration: need(self.place, &repair.id),
            at: endings.map(|(place, _)| format!("found-{}", place + 1)).collect(),
        }
    }

    fn check(&self, at: usize, check: &plan::Check, opened: &[Opened]) -> Check {
        let steps = self.walk.steps.iter().enumerate().filter(|(_, step)| step.check == at);
        let open = opened.iter().filter(|(access, _)| check.accesses.contains(access));
        let safe = check.make_safe.iter().map(|task| opened.len() + task);
        Check {
            id: check.id.clone(),
            seconds: check.seconds.into(),
            extras: open.flat_map(|(_, needs)| needs.iter().copied()).chain(safe).collect(),
            state: check.state,
            after: check.after.clone(),
            first: check.first,
            cures: check.cures,
            at: steps.map(|(place, _)| format!("step-{}", place + 1)).collect(),
            answers: check.outcomes.iter().map(|outcome| answer(self.place.guide, outcome)).collect(),
        }
    }
}

/// The place of an access in the fault, and the places among the opened ones of it and of all that it needs.
type Opened = (usize, BTreeSet<usize>);

/// Accesses, each behind those it needs, and otherwise as they stand in the fault.
fn in_order(accesses: &[plan::Access]) -> Vec<Opened> {
    let mut order: Vec<Opened> = Vec::new();
    let place = |order: &[Opened], at: usize| order.iter().position(|(other, _)| *other == at);
    loop {
        let waits = |at: &usize| place(&order, *at).is_none();
        let ready = |at: &usize| accesses[*at].needs.iter().all(|need| place(&order, *need).is_some());
        let Some(next) = (0..accesses.len()).find(|at| waits(at) && ready(at)) else { return order };
        let needs = accesses[next].needs.iter().filter_map(|need| place(&order, *need));
        let all = needs.flat_map(|place| order[place].1.iter().copied()).chain([order.len()]).collect();
        order.push((next, all));
    }
}

fn answer(guide: &Guide, outcome: &plan::Outcome) -> Answer {
    let (leaves, exit) = match &outcome.then {
        plan::Then::Leaves(causes) => (Some(causes.clone()), None),
        plan::Then::Exit(number) => (None, guide.faults.iter().nth(*number).map(|fault| fault.id().to_owned())),
    };
    let wrong = (outcome.wrong_per_million > 0).then_some(outcome.wrong_per_million);
    Answer { leaves, exit, none: outcome.none, wrong }
}

/// The greatest need that a repair reaches or states.
fn need(place: Place<'_>, repair: &str) -> Option<&'static str> {
    let stated = place.guide.procedures.find(repair)?.recalibration.iter().map(|tag| tag.need.value).max();
    match place.facts.recalibration.greatest(repair).max(stated.unwrap_or(Need::None)) {
        Need::None => None,
        Need::Conditional => Some("conditional"),
        Need::Required => Some("required"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_opened_stands_behind_what_it_needs() {
        let access = |needs: &[usize]| plan::Access { id: String::new(), seconds: 1, needs: needs.to_vec() };
        let order = in_order(&[access(&[2]), access(&[]), access(&[1]), access(&[0, 1])]);
        assert_eq!(order, [(1, [0].into()), (2, [0, 1].into()), (0, [0, 1, 2].into()), (3, [0, 1, 2, 3].into())]);
    }
}
