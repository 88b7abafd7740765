//! The walk through a fault: which check comes next after each answer, until one repair is left.

use std::collections::{BTreeMap, BTreeSet};

use crate::model::{Check, Fault, Id, Procedure};

/// A set of causes, by their place in the fault.
pub type Causes = BTreeSet<usize>;

/// The walk as steps that lead to each other; the first step is where it begins.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Walk {
    pub steps: Vec<WalkStep>,
    pub endings: Vec<Ending>,
    /// Where the walk begins: a step, or an ending where nothing needs a check.
    pub start: Option<To>,
}

/// One check on the walk, with what is known before it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct WalkStep {
    /// The check, by its place in the fault.
    pub check: usize,
    /// Causes still possible before it.
    pub possible: Causes,
    /// Checks asked on every way here.
    pub asked: BTreeSet<usize>,
    /// Where each answer leads.
    pub answers: Vec<To>,
}

/// Where an answer leads.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum To {
    Step(usize),
    Ending(usize),
    /// The fault the answer names.
    OtherFault,
    /// The answer contradicts what was seen before.
    Nowhere,
}

/// The end of a walk.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Ending {
    /// The causes left; all with one repair, unless no check tells them apart.
    pub causes: Causes,
    /// True where an answer on the way leaves only these causes; false where they are what is left over.
    pub shown: bool,
}

/// The most steps a walk may have; a fault that needs more is cut off, and its page says so.
pub const MOST_STEPS: usize = 400;

/// The walk in the writer's order: the first check that still tells something, again and again.
pub fn in_writers_order(fault: &Fault) -> Walk {
    let mut builder = Builder { fault, walk: Walk::default(), known: BTreeMap::new(), endings: BTreeMap::new() };
    let all: Causes = (0..fault.causes.len()).collect();
    if !all.is_empty() {
        builder.walk.start = Some(builder.go_on(&all, &BTreeSet::new(), false));
    }
    builder.walk
}

/// The causes an answer of a check leaves, by their place in the fault.
pub fn left_by(fault: &Fault, check: &Check, answer: usize) -> Causes {
    let leaves = check.answers.get(answer).map(|answer| answer.leaves.as_slice()).unwrap_or_default();
    let place = |id: &str| fault.causes.iter().position(|cause| cause.id.value == id);
    leaves.iter().filter_map(|link| place(link.as_str())).collect()
}

/// The one repair of some causes, if they share it.
pub fn shared_repair<'f>(fault: &'f Fault, causes: &Causes) -> Option<&'f Id<Procedure>> {
    let mut repairs = causes.iter().map(|cause| {
        let repair = fault.causes.get(*cause).and_then(|cause| cause.repair.as_ref());
        repair.map(|repair| &repair.value)
    });
    let first = repairs.next()??;
    repairs.all(|repair| repair == Some(first)).then_some(first)
}

struct Builder<'f> {
    fault: &'f Fault,
    walk: Walk,
    known: BTreeMap<(Causes, BTreeSet<usize>, bool), usize>,
    endings: BTreeMap<Ending, usize>,
}

impl Builder<'_> {
    fn go_on(&mut self, possible: &Causes, asked: &BTreeSet<usize>, shown: bool) -> To {
        let Some(check) = self.next_check(possible, asked, shown) else { return self.end(possible, shown) };
        let key = (possible.clone(), asked.clone(), shown);
        if let Some(step) = self.known.get(&key) {
            return To::Step(*step);
        }
        if self.walk.steps.len() >= MOST_STEPS {
            return To::Nowhere;
        }
        let step = self.walk.steps.len();
        self.known.insert(key, step);
        let (possible, asked) = (possible.clone(), asked.clone());
        self.walk.steps.push(WalkStep { check, possible: possible.clone(), asked: asked.clone(), answers: Vec::new() });
        let answers = self.answers(check, &possible, &asked, shown);
        if let Some(step) = self.walk.steps.get_mut(step) {
            step.answers = answers;
        }
        To::Step(step)
    }

    fn answers(&mut self, check: usize, possible: &Causes, asked: &BTreeSet<usize>, shown: bool) -> Vec<To> {
        let Some(asking) = self.fault.checks.get(check) else { return Vec::new() };
        let mut asked = asked.clone();
        asked.insert(check);
        let mut leads = Vec::new();
        for (index, answer) in asking.answers.iter().enumerate() {
            let leaves = left_by(self.fault, asking, index);
            let left: Causes = possible.intersection(&leaves).copied().collect();
            leads.push(if answer.go_to.is_some() {
                To::OtherFault
            } else if left.is_empty() {
                To::Nowhere
            } else {
                let shows = shared_repair(self.fault, &leaves).is_some();
                self.go_on(&left, &asked, shows || (shown && left == *possible))
            });
        }
        leads
    }

    fn end(&mut self, possible: &Causes, shown: bool) -> To {
        let ending = Ending { causes: possible.clone(), shown };
        let place = self.endings.len();
        let place = *self.endings.entry(ending.clone()).or_insert(place);
        if place == self.walk.endings.len() {
            self.walk.endings.push(ending);
        }
        To::Ending(place)
    }

    /// Pinned checks first; then, while causes with different repairs are left, the first that tells something; then
    /// the first that can show what is left.
    fn next_check(&self, possible: &Causes, asked: &BTreeSet<usize>, shown: bool) -> Option<usize> {
        let open = |index: &usize| !asked.contains(index) && self.may_come(*index, asked);
        let checks: Vec<usize> = (0..self.fault.checks.len()).filter(open).collect();
        let pinned = checks.iter().find(|index| self.fault.checks.get(**index).is_some_and(|check| check.first));
        if let Some(pinned) = pinned {
            return Some(*pinned);
        }
        if shared_repair(self.fault, possible).is_none() {
            return checks.into_iter().find(|index| self.tells(*index, possible));
        }
        if shown { None } else { checks.into_iter().find(|index| self.can_show(*index, possible)) }
    }

    fn may_come(&self, index: usize, asked: &BTreeSet<usize>) -> bool {
        let Some(check) = self.fault.checks.get(index) else { return false };
        check.after.iter().all(|before| {
            let place = self.fault.checks.iter().position(|check| check.id.value == before.as_str());
            place.is_none_or(|place| asked.contains(&place))
        })
    }

    fn lefts(&self, index: usize, possible: &Causes) -> Vec<Causes> {
        let Some(check) = self.fault.checks.get(index) else { return Vec::new() };
        let left = |answer| left_by(self.fault, check, answer).intersection(possible).copied().collect::<Causes>();
        (0..check.answers.len()).map(left).collect()
    }

    fn tells(&self, index: usize, possible: &Causes) -> bool {
        let lefts = self.lefts(index, possible);
        lefts.iter().any(|left| !left.is_empty() && left != possible)
    }

    fn can_show(&self, index: usize, possible: &Causes) -> bool {
        let Some(check) = self.fault.checks.get(index) else { return false };
        (0..check.answers.len()).any(|answer| {
            let leaves = left_by(self.fault, check, answer);
            !leaves.is_disjoint(possible) && shared_repair(self.fault, &leaves).is_some()
        })
    }
}
