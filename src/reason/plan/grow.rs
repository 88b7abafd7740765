//! Grows a tree from a policy: first the pinned checks, then whatever the policy chooses.

use super::model::Model;
use super::problem::{PlanError, Problem};
use super::set::{Set, members};
use super::state::State;
use super::tree::{CheckStep, Left, Node, Step, Tree, exit};

/// A tree with more nodes than this is of no use to anyone.
pub(super) const MOST_NODES: usize = 50_000;

/// Chooses the next check at a position; `None` where no check tells anything.
pub(super) trait Policy {
    /// Place of the probe to take.
    fn choose(&mut self, state: &State) -> Result<Option<usize>, PlanError>;
}

/// Grows the tree of `policy`.
pub(super) fn grow(problem: &Problem, model: &Model, policy: &mut dyn Policy) -> Result<Tree, PlanError> {
    let mut grower = Grower { problem, model, policy, nodes: Vec::new(), seen: Vec::new() };
    grower.node(model.root(), 0, None)?;
    Ok(Tree { nodes: grower.nodes, total: model.total })
}

struct Grower<'a> {
    problem: &'a Problem,
    model: &'a Model,
    policy: &'a mut dyn Policy,
    nodes: Vec<Node>,
    /// What each answer on the way leaves, on its own.
    seen: Vec<Set>,
}

impl Grower<'_> {
    /// Adds the node for a position and everything below it; `pinned` checks have been taken so far.
    fn node(&mut self, state: State, pinned: usize, last: Option<(usize, usize)>) -> Result<usize, PlanError> {
        let probe = match self.model.pinned.get(pinned) {
            Some(probe) => Some(*probe),
            None if self.model.ended(state.set) => None,
            None => self.policy.choose(&state)?,
        };
        if self.nodes.len() >= MOST_NODES {
            return Err(PlanError::TooLarge("the answers leave so much open that the plan has over 50,000 steps"));
        }
        let at = self.nodes.len();
        self.nodes.push(Node { weight: self.model.mass(&state), step: Step::None });
        let step = match probe {
            Some(probe) => self.check(state, probe, (pinned + 1).min(self.model.pinned.len()))?,
            None => self.end(&state, last),
        };
        self.nodes[at].step = step;
        Ok(at)
    }

    fn check(&mut self, state: State, place: usize, pinned: usize) -> Result<Step, PlanError> {
        let model = self.model;
        let probe = &model.probes[place];
        let mut answers = Vec::new();
        for (outcome, original) in probe.outcomes.iter().enumerate() {
            let left = probe.sets[outcome] & state.set;
            let next = State { set: left, ..model.taken(probe, &state) };
            if let Some(fault) = exit(self.problem, probe.original, *original) {
                answers.push((*original, self.nodes.len()));
                self.nodes.push(Node { weight: model.mass(&next), step: Step::Exit(fault) });
            } else if left != 0 {
                self.seen.push(probe.sets[outcome]);
                answers.push((*original, self.node(next, pinned, Some((probe.original, *original)))?));
                self.seen.pop();
            }
        }
        answers.sort_unstable();
        Ok(Step::Check(step(model, self.problem, &state, place, answers)))
    }

    fn end(&self, state: &State, last: Option<(usize, usize)>) -> Step {
        let units: Vec<usize> = members(state.set).collect();
        let left = left(self.model, &units, state.done);
        let ended = self.model.ended(state.set);
        let seen = |repair: usize| {
            self.seen.iter().any(|set| {
                members(*set).all(|unit| !self.model.units[unit].none && self.model.units[unit].repair == Some(repair))
            })
        };
        end(self.problem, self.model, &units, state.done, left, ended, last, &seen)
    }
}

/// The causes in some units, by position.
pub(super) fn left(model: &Model, units: &[usize], done: u128) -> Vec<Left> {
    let mut left: Vec<(usize, u128)> = Vec::new();
    for unit in units {
        let share = model.share(*unit, done);
        left.extend(model.units[*unit].members.iter().map(|member| (*member, model.weight_of[*member] / share)));
    }
    left.sort_unstable();
    let cause = |at: usize| (at != model.none_at).then_some(at);
    left.into_iter().map(|(at, weight)| Left { cause: cause(at), weight }).collect()
}

/// What stands at the end of a path.
#[expect(clippy::too_many_arguments, reason = "shared by both growers")]
pub(super) fn end(
    problem: &Problem,
    model: &Model,
    units: &[usize],
    done: u128,
    left: Vec<Left>,
    ended: bool,
    last: Option<(usize, usize)>,
    seen: &dyn Fn(usize) -> bool,
) -> Step {
    let repair = left.iter().find_map(|left| left.cause).map(|cause| problem.causes[cause].repair);
    match repair {
        None => Step::None,
        Some(repair) if ended => {
            let cures = last.and_then(|(check, _)| problem.checks[check].cures);
            let cured =
                cures.is_some_and(|(mends, outcome)| mends == repair && last.map(|last| last.1) == Some(outcome));
            Step::Repair { repair, left, by_elimination: !cured && !seen(repair), cured }
        }
        Some(_) => Step::Group { order: model.tried(units.iter().copied(), done).0, left },
    }
}

/// A check with all that must be done for it at a position.
pub(super) fn step(
    model: &Model,
    problem: &Problem,
    state: &State,
    place: usize,
    answers: Vec<(usize, usize)>,
) -> CheckStep {
    let probe = &model.probes[place];
    let missing = |extra: usize| probe.extras & !state.open & (1 << extra) != 0;
    let accesses = problem.accesses.len();
    let mut opens: Vec<usize> = Vec::new();
    let wanted: Vec<usize> = (0..accesses).filter(|extra| missing(*extra)).collect();
    while opens.len() < wanted.len() {
        let ready = |at: &&usize| {
            let waits = |need: &usize| wanted.contains(need) && !opens.contains(need);
            !opens.contains(at) && !problem.accesses[**at].needs.iter().any(waits)
        };
        match wanted.iter().find(ready) {
            Some(next) => opens.push(*next),
            None => break,
        }
    }
    CheckStep {
        check: probe.original,
        make_safe: (0..problem.tasks.len()).filter(|task| missing(accesses + task)).collect(),
        change_to: probe.state.filter(|to| *to != state.at).map(usize::from),
        opens,
        seconds: model.step(probe, state),
        answers,
    }
}
