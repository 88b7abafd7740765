//! The walk through a fault: which check comes next after each answer, until one repair is left.
//!
//! It is the plan's tree with equal branches joined, so that a page can show each step once.

use std::collections::{BTreeMap, BTreeSet};

use super::fault_plans::FaultPlan;
use super::plan::{Left, Step, ways_back};
use crate::model::{Check, Fault, Id, Procedure};

/// A set of causes, by their place in the fault.
pub type Causes = BTreeSet<usize>;

/// The walk as steps that lead to each other, in the order in which they are met.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Walk {
    pub steps: Vec<WalkStep>,
    pub endings: Vec<Ending>,
    /// Where the walk begins: a step, or an ending where nothing needs a check.
    pub start: Option<To>,
}

/// One check on the walk, with what has to be done for it here.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct WalkStep {
    /// The check, by its place in the fault.
    pub check: usize,
    /// Causes still possible before it, with their weights here.
    pub possible: Vec<(usize, u128)>,
    /// Make-safe procedures still to be done, by their place in the problem.
    pub make_safe: Vec<usize>,
    /// State to bring the machine into, by its place in the problem, where it is not in it.
    pub change_to: Option<usize>,
    /// Accesses still to be opened, by their place in the fault.
    pub opens: Vec<usize>,
    /// Seconds of all of it.
    pub seconds: u64,
    /// Weight of coming here.
    pub weight: u128,
    /// Weight of each answer, out of `weight`.
    pub answer_weights: Vec<u128>,
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
    /// The answer leaves none of the causes that are still possible.
    Nowhere,
}

/// The end of a walk.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Ending {
    /// The causes left; all with one repair, unless no check tells them apart.
    pub causes: Causes,
    /// Repairs in the order to try them, by their place in the problem: one, unless no check tells the causes apart.
    pub repairs: Vec<usize>,
    /// True where an answer on the way leaves only causes with this repair; false where they are what is left over.
    pub shown: bool,
    /// True where the last check was a swap that cured: the repair is done.
    pub cured: bool,
    /// Where to go on when the repair did not cure, after a check that is sometimes wrong.
    pub back: Option<Back>,
}

/// The way back from a repair that did not cure.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Back {
    /// The check whose answer was most likely wrong, by its place in the fault.
    pub check: usize,
    /// Where the answer leads that it should have given.
    pub to: To,
    /// How likely the causes of the ending are, given every answer on the way, in percent.
    pub right: u32,
    /// How likely the causes behind the way back are, in percent.
    pub there: u32,
}

/// What stands open at a place of the walk because of the checks on the way there, by its place in the fault.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Opened {
    /// On some way there.
    pub may: BTreeSet<usize>,
    /// On every way there.
    pub must: BTreeSet<usize>,
}

impl Walk {
    /// What stands open after each step, and at each ending.
    pub fn opened(&self) -> (Vec<Opened>, Vec<Opened>) {
        let mut before: Vec<Option<Opened>> = vec![None; self.steps.len()];
        let mut endings: Vec<Option<Opened>> = vec![None; self.endings.len()];
        let mut changed = match self.start {
            Some(To::Step(step)) => before.get_mut(step).is_some_and(|start| join(start, &Opened::default())),
            _ => false,
        };
        // A step may be met before one that leads to it; sets only grow or only shrink, so this comes to rest.
        while changed {
            changed = false;
            for (at, step) in self.steps.iter().enumerate() {
                let Some(after) = before.get(at).cloned().flatten().map(|opened| with(opened, step)) else { continue };
                for to in &step.answers {
                    changed |= match *to {
                        To::Step(next) => before.get_mut(next).is_some_and(|there| join(there, &after)),
                        To::Ending(end) => endings.get_mut(end).is_some_and(|there| join(there, &after)),
                        To::OtherFault | To::Nowhere => false,
                    };
                }
            }
        }
        let after = before.into_iter().zip(&self.steps).map(|(opened, step)| with(opened.unwrap_or_default(), step));
        (after.collect(), endings.into_iter().map(Option::unwrap_or_default).collect())
    }
}

fn with(mut opened: Opened, step: &WalkStep) -> Opened {
    opened.may.extend(&step.opens);
    opened.must.extend(&step.opens);
    opened
}

/// Takes in one way more to a place; true where that changes it.
fn join(there: &mut Option<Opened>, way: &Opened) -> bool {
    let joined = match there {
        None => way.clone(),
        Some(known) => Opened { may: &known.may | &way.may, must: &known.must & &way.must },
    };
    let changed = there.as_ref() != Some(&joined);
    *there = Some(joined);
    changed
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

/// The walk of a planned fault.
pub fn of(fault: &Fault, plan: &FaultPlan) -> Walk {
    let mut joiner = Joiner { fault, plan, possible: possible(plan), joined: Vec::new(), shapes: Vec::new() };
    joiner.join();
    let mut walk = Walk::default();
    let start = joiner.joined.first().copied().unwrap_or(0);
    let mut placed = BTreeMap::new();
    walk.start = Some(joiner.lay_out(start, &mut walk, &mut placed));
    joiner.lead_back(&mut walk, &placed);
    walk
}

/// The causes possible at each node, with their weights there.
fn possible(plan: &FaultPlan) -> Vec<BTreeMap<usize, u128>> {
    let nodes = &plan.plan.tree.nodes;
    let mut possible: Vec<BTreeMap<usize, u128>> = vec![BTreeMap::new(); nodes.len()];
    for (at, node) in nodes.iter().enumerate().rev() {
        let here = match &node.step {
            Step::Repair { left, .. } | Step::Group { left, .. } => with_weights(left),
            Step::Check(check) => {
                let mut here = BTreeMap::new();
                for (_, to) in &check.answers {
                    let below = possible.get(*to).cloned().unwrap_or_default();
                    for (cause, weight) in below {
                        *here.entry(cause).or_insert(0) += weight;
                    }
                }
                here
            }
            Step::None | Step::Exit(_) => BTreeMap::new(),
        };
        if let Some(slot) = possible.get_mut(at) {
            *slot = here;
        }
    }
    possible
}

fn with_weights(left: &[Left]) -> BTreeMap<usize, u128> {
    left.iter().filter_map(|left| Some((left.cause?, left.weight))).collect()
}

/// A node whose branches have been joined: equal ones are one.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
enum Shape {
    /// The answers lead to other joined nodes, or to none.
    Step(WalkStep, Vec<Option<usize>>),
    Ending(Ending),
    OtherFault,
    NoneOfThese,
}

struct Joiner<'p> {
    fault: &'p Fault,
    plan: &'p FaultPlan,
    possible: Vec<BTreeMap<usize, u128>>,
    /// For each node of the tree its joined node.
    joined: Vec<usize>,
    /// The joined nodes.
    shapes: Vec<Shape>,
}

impl Joiner<'_> {
    fn join(&mut self) {
        let nodes = &self.plan.plan.tree.nodes;
        self.joined = vec![0; nodes.len()];
        let mut known: BTreeMap<Shape, usize> = BTreeMap::new();
        for (at, node) in nodes.iter().enumerate().rev() {
            let shape = self.shape(at, &node.step);
            let place = *known.entry(shape.clone()).or_insert(self.shapes.len());
            if place == self.shapes.len() {
                self.shapes.push(shape);
            }
            if let Some(slot) = self.joined.get_mut(at) {
                *slot = place;
            }
        }
    }

    fn shape(&self, at: usize, step: &Step) -> Shape {
        match step {
            Step::Check(check) => {
                let count = self.fault.checks.get(check.check).map_or(0, |check| check.answers.len());
                let mut answers = vec![None; count];
                let mut weights = vec![0; count];
                let weight_of = |node: usize| self.plan.plan.tree.nodes.get(node).map_or(0, |node| node.weight);
                for (answer, to) in &check.answers {
                    if let (Some(slot), Some(joined)) = (answers.get_mut(*answer), self.joined.get(*to)) {
                        *slot = Some(*joined);
                    }
                    if let Some(slot) = weights.get_mut(*answer) {
                        *slot = weight_of(*to);
                    }
                }
                let possible = self.possible.get(at).into_iter().flatten().map(|(cause, weight)| (*cause, *weight));
                let step = WalkStep {
                    check: check.check,
                    possible: possible.collect(),
                    make_safe: check.make_safe.clone(),
                    change_to: check.change_to,
                    opens: check.opens.clone(),
                    seconds: check.seconds,
                    weight: weight_of(at),
                    answer_weights: weights,
                    answers: Vec::new(),
                };
                Shape::Step(step, answers)
            }
            Step::Repair { repair, left, by_elimination, cured } => Shape::Ending(Ending {
                causes: with_weights(left).into_keys().collect(),
                repairs: vec![*repair],
                shown: !by_elimination,
                cured: *cured,
                back: None,
            }),
            Step::Group { order, left } => Shape::Ending(Ending {
                causes: with_weights(left).into_keys().collect(),
                repairs: order.clone(),
                shown: true,
                cured: false,
                back: None,
            }),
            Step::Exit(_) => Shape::OtherFault,
            Step::None => Shape::NoneOfThese,
        }
    }

    /// Notes for every ending behind an unsure answer where to go on when its repair did not cure.
    fn lead_back(&self, walk: &mut Walk, placed: &BTreeMap<usize, To>) {
        let place = |node: usize| self.joined.get(node).and_then(|joined| placed.get(joined)).copied();
        for way in ways_back(&self.plan.asked.problem, &self.plan.plan.tree) {
            let (Some(To::Ending(ending)), Some(to)) = (place(way.end), place(way.to)) else { continue };
            let check = match self.plan.plan.tree.nodes.get(way.check).map(|node| &node.step) {
                Some(Step::Check(step)) => step.check,
                _ => continue,
            };
            if let Some(ending) = walk.endings.get_mut(ending).filter(|ending| ending.back.is_none()) {
                ending.back = Some(Back { check, to, right: percent(way.right), there: percent(way.there) });
            }
        }
    }

    /// Gives steps and endings their numbers, in the order in which a reader meets them. Without recursion: a walk may be
    /// thousands of checks deep.
    fn lay_out<'s>(&'s self, start: usize, walk: &mut Walk, placed: &mut BTreeMap<usize, To>) -> To {
        let mut open = Vec::new();
        let first = self.enter(start, walk, placed, &mut open);
        while let Some((place, answer)) =
            open.last_mut().map(|(place, answers): &mut Open<'s>| (*place, answers.next()))
        {
            let Some(answer) = answer else {
                open.pop();
                continue;
            };
            let to = answer.map_or(To::Nowhere, |to| self.enter(to, walk, placed, &mut open));
            if let Some(step) = walk.steps.get_mut(place) {
                step.answers.push(to);
            }
        }
        first
    }

    /// Numbers one joined node; the answers of a step are still to be followed.
    fn enter<'s>(
        &'s self,
        joined: usize,
        walk: &mut Walk,
        placed: &mut BTreeMap<usize, To>,
        open: &mut Vec<Open<'s>>,
    ) -> To {
        if let Some(to) = placed.get(&joined) {
            return *to;
        }
        let to = match self.shapes.get(joined) {
            Some(Shape::Step(step, answers)) => {
                walk.steps.push(step.clone());
                open.push((walk.steps.len() - 1, answers.iter()));
                To::Step(walk.steps.len() - 1)
            }
            Some(Shape::Ending(ending)) => {
                walk.endings.push(ending.clone());
                To::Ending(walk.endings.len() - 1)
            }
            Some(Shape::OtherFault) => return To::OtherFault,
            Some(Shape::NoneOfThese) | None => return To::Nowhere,
        };
        placed.insert(joined, to);
        to
    }
}

/// A step whose answers are being followed: its number, and the answers left.
type Open<'s> = (usize, std::slice::Iter<'s, Option<usize>>);

fn percent(share: f64) -> u32 {
    (share.clamp(0.0, 1.0) * 100.0).round() as u32
}

#[cfg(test)]
mod tests {
    use super::*;

    fn step(opens: &[usize], answers: &[To]) -> WalkStep {
        WalkStep {
            check: 0,
            possible: Vec::new(),
            make_safe: Vec::new(),
            change_to: None,
            opens: opens.to_vec(),
            seconds: 0,
            weight: 0,
            answer_weights: Vec::new(),
            answers: answers.to_vec(),
        }
    }

    #[test]
    fn what_stands_open_is_told_for_some_and_for_every_way() {
        let ending = Ending { causes: Causes::new(), repairs: Vec::new(), shown: true, cured: false, back: None };
        let steps = vec![
            step(&[7], &[To::Step(2), To::Step(1), To::OtherFault]),
            // Leads to a step that stands before it in the page.
            step(&[8], &[To::Step(3), To::Ending(1)]),
            step(&[], &[To::Step(3), To::Nowhere]),
            step(&[9], &[To::Ending(0)]),
        ];
        let walk = Walk { steps, endings: vec![ending.clone(), ending], start: Some(To::Step(0)) };
        let (after, endings) = walk.opened();
        let opened = |may: &[usize], must: &[usize]| Opened {
            may: may.iter().copied().collect(),
            must: must.iter().copied().collect(),
        };
        assert_eq!(
            after,
            [opened(&[7], &[7]), opened(&[7, 8], &[7, 8]), opened(&[7], &[7]), opened(&[7, 8, 9], &[7, 9])]
        );
        assert_eq!(endings, [opened(&[7, 8, 9], &[7, 9]), opened(&[7, 8], &[7, 8])]);
    }
}
