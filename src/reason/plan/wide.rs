//! Faults with more units than a set holds: one order of checks for the whole tree.
//!
//! Checks are ranked once, by the pairs of repairs they tell apart per second; each node takes the first in that order
//! that still splits what is left. No search, but the certificate still says how far from the best the tree can be.

use super::grow::{MOST_NODES, end, left, step};
use super::model::Model;
use super::problem::{PlanError, Problem};
use super::state::State;
use super::tree::{Node, Step, Tree, exit};

/// A node waiting to be grown.
struct Task {
    node: usize,
    units: Vec<usize>,
    state: State,
    /// Places in the order that were taken or passed.
    from: usize,
    last: Option<(usize, usize)>,
    /// Repair that some answer on the way left alone.
    seen: Option<usize>,
}

/// The tree for a fault that is too wide to search.
pub(super) fn tree(problem: &Problem, model: &Model) -> Result<Tree, PlanError> {
    walk(problem, model, &order(model, &by_pairs(model)))
}

/// Grows the tree of one fixed order, without recursion: it may be thousands of checks deep.
pub(super) fn walk(problem: &Problem, model: &Model, order: &[usize]) -> Result<Tree, PlanError> {
    let mut nodes = vec![Node { weight: model.total, step: Step::None }];
    let units = (0..model.units.len()).collect();
    let mut tasks = vec![Task { node: 0, units, state: model.start_wide(), from: 0, last: None, seen: None }];
    let mut effort = 0_usize;
    while let Some(task) = tasks.pop() {
        effort += task.units.len();
        if nodes.len() > MOST_NODES || effort > 400_000_000 {
            return Err(PlanError::TooLarge("the plan has over 50,000 steps"));
        }
        let ended = model.may_end(task.units.iter().copied());
        let next = next(model, order, &task, ended, &mut effort);
        let grown = match next {
            None => {
                let left = left(model, &task.units, task.state.done);
                let seen = |repair: usize| task.seen == Some(repair);
                end(problem, model, &task.units, task.state.done, left, ended, task.last, &seen)
            }
            Some(at) => Step::Check(grow(problem, model, order, at, &task, &mut nodes, &mut tasks)),
        };
        nodes[task.node].step = grown;
    }
    Ok(Tree { nodes, total: model.total })
}

/// Places of the probes by pairs of causes told apart per second, best first.
fn by_pairs(model: &Model) -> Vec<usize> {
    let score = |place: usize| {
        let probe = &model.probes[place];
        let mut parts = vec![0.0; probe.outcomes.len()];
        for (unit, answers) in probe.answers.iter().enumerate() {
            let each = model.units[unit].weight as f64 / model.total as f64 + 1e-6;
            (0..parts.len()).filter(|bit| answers >> bit & 1 == 1).for_each(|bit| parts[bit] += each);
        }
        let whole: f64 = parts.iter().sum();
        let same: f64 = parts.iter().map(|part| part * part).sum();
        let seconds = probe.cost + model.extra_seconds(probe.extras);
        (whole * whole - same) / (seconds.max(1) as f64)
    };
    let scores: Vec<f64> = (0..model.probes.len()).map(score).collect();
    let mut ranked: Vec<usize> = (0..model.probes.len()).collect();
    ranked.sort_by(|a, b| scores[*b].total_cmp(&scores[*a]).then(a.cmp(b)));
    ranked
}

/// Pinned checks, then the others as ranked, each after those it waits for.
pub(super) fn order(model: &Model, ranked: &[usize]) -> Vec<usize> {
    let mut order = model.pinned.clone();
    let mut left: Vec<usize> = ranked.iter().copied().filter(|place| !order.contains(place)).collect();
    while let Some(at) = left.iter().position(|place| waits_for_none(model, *place, &order)) {
        order.push(left.remove(at));
    }
    order
}

fn waits_for_none(model: &Model, place: usize, order: &[usize]) -> bool {
    let before = order.iter().fold(0, |all, place| all | model.probes[*place].tracked);
    model.probes[place].after & !before == 0
}

/// The next check in the order that is pinned, splits what is left, or has another waiting for it.
fn next(model: &Model, order: &[usize], task: &Task, ended: bool, effort: &mut usize) -> Option<usize> {
    let pinned = model.pinned.len();
    if task.from < pinned {
        return Some(task.from);
    }
    if ended {
        return None;
    }
    let splits = |at: &usize| {
        let probe = &model.probes[order[*at]];
        let first = probe.answers[task.units[0]];
        task.units.iter().any(|unit| probe.answers[*unit] != first)
    };
    let found = (task.from..order.len()).inspect(|_| *effort += 8).find(splits)?;
    let missing = model.probes[order[found]].after & !task.state.done;
    if missing == 0 {
        return Some(found);
    }
    let ready = |at: &usize| {
        let probe = &model.probes[order[*at]];
        probe.tracked & !task.state.done != 0 && model.ready(probe, &task.state) && ancestor(model, *at, found, order)
    };
    (0..found).find(ready)
}

/// Whether the check at `at` must come before the one at `found`, directly or not.
fn ancestor(model: &Model, at: usize, found: usize, order: &[usize]) -> bool {
    let mut wanted = model.probes[order[found]].after;
    for place in order[..found].iter().rev() {
        if wanted & model.probes[*place].tracked != 0 {
            wanted |= model.probes[*place].after;
        }
    }
    wanted & model.probes[order[at]].tracked != 0
}

fn grow(
    problem: &Problem,
    model: &Model,
    order: &[usize],
    at: usize,
    task: &Task,
    nodes: &mut Vec<Node>,
    tasks: &mut Vec<Task>,
) -> super::tree::CheckStep {
    let probe = &model.probes[order[at]];
    let state = model.taken(probe, &task.state);
    let mut answers = Vec::new();
    for (bit, outcome) in probe.outcomes.iter().enumerate() {
        let units: Vec<usize> =
            task.units.iter().copied().filter(|unit| probe.answers[*unit] >> bit & 1 == 1).collect();
        let weight = units.iter().map(|unit| model.weight(*unit, state.done)).sum();
        if let Some(fault) = exit(problem, probe.original, *outcome) {
            answers.push((*outcome, nodes.len()));
            nodes.push(Node { weight, step: Step::Exit(fault) });
        } else if !units.is_empty() {
            answers.push((*outcome, nodes.len()));
            let shown = task.seen.or_else(|| alone(model, probe, bit));
            let from = task.from.max(at + 1);
            tasks.push(Task {
                node: nodes.len(),
                units,
                state,
                from,
                last: Some((probe.original, *outcome)),
                seen: shown,
            });
            nodes.push(Node { weight, step: Step::None });
        }
    }
    answers.sort_unstable();
    step(model, problem, &task.state, order[at], answers)
}

/// The one repair that an answer leaves on its own.
fn alone(model: &Model, probe: &super::model::Probe, bit: usize) -> Option<usize> {
    let mut left = (0..probe.answers.len()).filter(|unit| probe.answers[*unit] >> bit & 1 == 1);
    let first = model.units[left.next()?].repair?;
    let same = |unit: usize| !model.units[unit].none && model.units[unit].repair == Some(first);
    left.all(same).then_some(first)
}
