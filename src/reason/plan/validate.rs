//! Refuses a problem that has no meaning, before any arithmetic.

use std::collections::BTreeSet;

use super::problem::{Check, PlanError, Problem, Then};

/// Checks every reference, id and answer of a problem.
///
/// # Errors
/// The first thing that is wrong, see [`PlanError`].
pub fn validate(problem: &Problem) -> Result<(), PlanError> {
    if problem.causes.is_empty() {
        return Err(PlanError::NoCause);
    }
    unique(problem.causes.iter().map(|cause| &cause.id))?;
    unique(problem.repairs.iter().map(|repair| &repair.id))?;
    unique(problem.checks.iter().map(|check| &check.id))?;
    unique(problem.accesses.iter().map(|access| &access.id))?;
    unique(problem.tasks.iter().map(|task| &task.id))?;
    for cause in &problem.causes {
        within(&cause.id, "repair", cause.repair, problem.repairs.len())?;
    }
    states(problem)?;
    for access in &problem.accesses {
        for need in &access.needs {
            within(&access.id, "access", *need, problem.accesses.len())?;
        }
    }
    let needs: Vec<&[usize]> = problem.accesses.iter().map(|access| access.needs.as_slice()).collect();
    circle(&needs, "access", |at| problem.accesses[at].id.clone())?;
    for check in &problem.checks {
        references(problem, check)?;
        answers(problem, check)?;
    }
    let after: Vec<&[usize]> = problem.checks.iter().map(|check| check.after.as_slice()).collect();
    circle(&after, "check", |at| problem.checks[at].id.clone())
}

fn unique<'a>(ids: impl Iterator<Item = &'a String>) -> Result<(), PlanError> {
    let mut seen = BTreeSet::new();
    for id in ids {
        if !seen.insert(id) {
            return Err(PlanError::DuplicateId(id.clone()));
        }
    }
    Ok(())
}

fn within(owner: &str, what: &'static str, position: usize, len: usize) -> Result<(), PlanError> {
    if position < len { Ok(()) } else { Err(PlanError::Dangling { owner: owner.into(), what, position }) }
}

fn states(problem: &Problem) -> Result<(), PlanError> {
    let count = problem.states.change.len();
    if count > 200 {
        return Err(PlanError::TooLarge("more than 200 states of the machine"));
    }
    for row in &problem.states.change {
        if row.len() != count {
            return Err(PlanError::Dangling { owner: "states".into(), what: "state", position: row.len() });
        }
    }
    if count > 0 { within("states", "state", problem.states.start, count) } else { Ok(()) }
}

fn references(problem: &Problem, check: &Check) -> Result<(), PlanError> {
    let id = check.id.as_str();
    for access in &check.accesses {
        within(id, "access", *access, problem.accesses.len())?;
    }
    for task in &check.make_safe {
        within(id, "make-safe task", *task, problem.tasks.len())?;
    }
    for earlier in &check.after {
        within(id, "check", *earlier, problem.checks.len())?;
    }
    if let Some(state) = check.state {
        within(id, "state", state, problem.states.change.len())?;
    }
    if let Some((repair, outcome)) = check.cures {
        within(id, "repair", repair, problem.repairs.len())?;
        within(id, "answer", outcome, check.outcomes.len())?;
    }
    for outcome in &check.outcomes {
        if let Then::Leaves(causes) = &outcome.then {
            for cause in causes {
                within(id, "cause", *cause, problem.causes.len())?;
            }
        }
    }
    Ok(())
}

fn answers(problem: &Problem, check: &Check) -> Result<(), PlanError> {
    if check.outcomes.len() > 64 {
        return Err(PlanError::TooLarge("a check with more than 64 answers"));
    }
    unique(check.outcomes.iter().map(|outcome| &outcome.label))?;
    let mut left = vec![false; problem.causes.len()];
    for outcome in &check.outcomes {
        if let Then::Leaves(causes) = &outcome.then {
            causes.iter().for_each(|cause| left[*cause] = true);
        }
    }
    let missing = |cause: &str| PlanError::CauseInNoAnswer { check: check.id.clone(), cause: cause.into() };
    if let Some(at) = left.iter().position(|left| !left) {
        return Err(missing(&problem.causes[at].id));
    }
    if problem.none_of_these.is_some() && !check.outcomes.iter().any(|outcome| outcome.none) {
        return Err(missing("none of these"));
    }
    match check.cures {
        Some((repair, outcome)) if !cure_is_pure(problem, check, repair, outcome) => {
            Err(PlanError::CureLeavesOther(check.id.clone()))
        }
        _ => Ok(()),
    }
}

fn cure_is_pure(problem: &Problem, check: &Check, repair: usize, outcome: usize) -> bool {
    let outcome = &check.outcomes[outcome];
    let pure = match &outcome.then {
        Then::Leaves(causes) => causes.iter().all(|cause| problem.causes[*cause].repair == repair),
        Then::Exit(_) => false,
    };
    pure && !(outcome.none && problem.none_of_these.is_some())
}

/// Peels off whatever waits for nothing; what is left waits in a circle, or for one.
fn circle(needs: &[&[usize]], what: &'static str, id: impl Fn(usize) -> String) -> Result<(), PlanError> {
    let mut waits: Vec<usize> = needs.iter().map(|needs| needs.len()).collect();
    let mut users: Vec<Vec<usize>> = vec![Vec::new(); needs.len()];
    for (at, needs) in needs.iter().enumerate() {
        needs.iter().for_each(|need| users[*need].push(at));
    }
    let mut ready: Vec<usize> = (0..needs.len()).filter(|at| waits[*at] == 0).collect();
    while let Some(at) = ready.pop() {
        for user in &users[at] {
            waits[*user] -= 1;
            if waits[*user] == 0 {
                ready.push(*user);
            }
        }
    }
    match waits.iter().position(|waits| *waits > 0) {
        Some(at) => Err(PlanError::Circle { what, id: id(at) }),
        None => Ok(()),
    }
}
