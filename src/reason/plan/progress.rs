//! Where somebody stands in a fault: what was answered, known, impossible or tried, and what that leaves.

use std::collections::BTreeSet;

use super::problem::{Outcome, Problem, Then};

/// One thing that was done or said, in order. Positions refer to the lists of [`Problem`]; what points outside them, and a
/// second answer to one check, is passed over.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Move {
    /// A check was taken.
    Answer { check: usize, outcome: usize },
    /// The answer was known before: it takes no time and opens nothing.
    Known { check: usize, outcome: usize },
    /// The check cannot be done now, nor can those that come after it.
    Skip { check: usize },
    /// A repair was made; where it did not cure, its causes are out.
    Tried { repair: usize, cured: bool },
}

/// What some moves lead to.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Progress {
    /// Causes still possible.
    pub causes: BTreeSet<usize>,
    /// "None of these" is still possible.
    pub none: bool,
    /// In how many even parts each cause was split.
    pub parts: Vec<u128>,
    /// Checks answered or known.
    pub taken: BTreeSet<usize>,
    /// Checks that cannot be done now, without those that come after them.
    pub skipped: BTreeSet<usize>,
    /// Accesses open and make-safe tasks done.
    pub open: BTreeSet<usize>,
    pub safe: BTreeSet<usize>,
    /// State of the machine.
    pub at: usize,
    /// Seconds so far.
    pub spent: u64,
    /// The other fault that an answer has led to.
    pub exit: Option<usize>,
    /// The repair that cured.
    pub cured: Option<usize>,
    /// Answers given, and the last of them if no repair was tried since.
    pub given: Vec<(usize, usize)>,
    pub last: Option<(usize, usize)>,
}

/// What is to be done for a check next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Due {
    /// Accesses, each after those it needs.
    pub opens: Vec<usize>,
    /// Tasks that make safe.
    pub make_safe: Vec<usize>,
    /// State to bring the machine into, when it is not in it.
    pub change_to: Option<usize>,
    /// Seconds of all of it, with the check.
    pub seconds: u64,
}

impl Progress {
    /// Follows some moves.
    pub fn of(problem: &Problem, moves: &[Move]) -> Self {
        let mut progress = Self {
            causes: (0..problem.causes.len()).collect(),
            none: problem.none_of_these.is_some(),
            parts: vec![1; problem.causes.len()],
            at: problem.states.start,
            ..Self::default()
        };
        moves.iter().for_each(|one| progress.step(problem, *one));
        progress
    }

    fn step(&mut self, problem: &Problem, one: Move) {
        match one {
            Move::Answer { check, outcome } if self.fits(problem, check, outcome) => {
                self.pay(problem, check);
                self.learn(problem, check, outcome);
            }
            Move::Known { check, outcome } if self.fits(problem, check, outcome) => self.learn(problem, check, outcome),
            Move::Skip { check } if check < problem.checks.len() && !self.taken.contains(&check) => {
                self.skipped.insert(check);
            }
            Move::Tried { repair, cured } if repair < problem.repairs.len() => self.repaired(problem, repair, cured),
            _ => {}
        }
    }

    fn fits(&self, problem: &Problem, check: usize, outcome: usize) -> bool {
        let known = problem.checks.get(check).is_some_and(|check| outcome < check.outcomes.len());
        known && !self.taken.contains(&check)
    }

    fn learn(&mut self, problem: &Problem, check: usize, outcome: usize) {
        self.taken.insert(check);
        self.skipped.remove(&check);
        self.given.push((check, outcome));
        self.last = Some((check, outcome));
        let outcomes = &problem.checks[check].outcomes;
        match &outcomes[outcome].then {
            Then::Exit(fault) => self.exit = Some(*fault),
            Then::Leaves(left) => {
                self.none &= outcomes[outcome].none;
                self.causes.retain(|cause| left.contains(cause));
                for cause in &self.causes {
                    let parts = outcomes.iter().filter(|outcome| leaves(outcome, *cause)).count();
                    self.parts[*cause] = self.parts[*cause].saturating_mul(parts as u128);
                }
            }
        }
    }

    fn repaired(&mut self, problem: &Problem, repair: usize, cured: bool) {
        if self.swapped(problem) != Some(repair) {
            self.spent = self.spent.saturating_add(problem.repairs[repair].seconds);
        }
        if cured {
            self.cured = Some(repair);
        } else {
            self.causes.retain(|cause| problem.causes[*cause].repair != repair);
            self.last = None;
        }
    }

    /// The repair that the last answer says was made and cured.
    pub fn swapped(&self, problem: &Problem) -> Option<usize> {
        let (check, outcome) = self.last?;
        let (repair, cured) = problem.checks[check].cures?;
        (cured == outcome).then_some(repair)
    }

    fn pay(&mut self, problem: &Problem, check: usize) {
        let due = self.due(problem, check);
        self.spent = self.spent.saturating_add(due.seconds);
        self.open.extend(due.opens);
        self.safe.extend(due.make_safe);
        self.at = problem.checks[check].state.unwrap_or(self.at);
    }

    /// What is to be done for a check here.
    pub fn due(&self, problem: &Problem, check: usize) -> Due {
        let check = &problem.checks[check];
        let opens = self.to_open(problem, &check.accesses);
        let make_safe: BTreeSet<usize> = check.make_safe.iter().copied().filter(|it| !self.safe.contains(it)).collect();
        let opening = opens.iter().map(|access| problem.accesses[*access].seconds);
        let safe = make_safe.iter().map(|task| problem.tasks[*task].seconds);
        let change = check.state.map(|to| problem.states.change[self.at][to]);
        Due {
            seconds: opening.chain(safe).chain(change).fold(check.seconds, u64::saturating_add),
            make_safe: make_safe.into_iter().collect(),
            change_to: check.state.filter(|to| *to != self.at),
            opens,
        }
    }

    fn to_open(&self, problem: &Problem, accesses: &[usize]) -> Vec<usize> {
        let (mut wanted, mut todo) = (BTreeSet::new(), accesses.to_vec());
        while let Some(access) = todo.pop() {
            if wanted.insert(access) {
                todo.extend(&problem.accesses[access].needs);
            }
        }
        wanted.retain(|access| !self.open.contains(access));
        let mut opens: Vec<usize> = Vec::new();
        let ready = |access: usize, opens: &[usize]| {
            let needs = &problem.accesses[access].needs;
            !opens.contains(&access) && needs.iter().all(|need| !wanted.contains(need) || opens.contains(need))
        };
        while let Some(next) = wanted.iter().copied().find(|access| ready(*access, &opens)) {
            opens.push(next);
        }
        opens
    }

    /// Checks that are skipped, or come after one that is.
    pub fn blocked(&self, problem: &Problem) -> BTreeSet<usize> {
        let mut found = self.skipped.clone();
        loop {
            let waits = |at: &usize| {
                let after = &problem.checks[*at].after;
                !found.contains(at) && !self.taken.contains(at) && after.iter().any(|earlier| found.contains(earlier))
            };
            let new: Vec<usize> = (0..problem.checks.len()).filter(waits).collect();
            if new.is_empty() {
                return found;
            }
            found.extend(new);
        }
    }
}

/// Whether an answer leaves a cause.
pub(super) fn leaves(outcome: &Outcome, cause: usize) -> bool {
    matches!(&outcome.then, Then::Leaves(list) if list.contains(&cause))
}
