//! The one check that does not exist yet and would save most: one that shows a single repair's causes.

use num_rational::Ratio;

use super::problem::{Check, Outcome, PlanError, Problem, Then};
use super::solve::{Options, Plan, solve};

/// A check worth inventing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Missing {
    /// Position of the repair whose causes it would show.
    pub repair: usize,
    /// Expected seconds it would save if it took no time.
    pub saves: Ratio<u128>,
    /// The most seconds it may take and still save anything.
    pub break_even: u64,
}

/// Steps towards the break-even at most; each is a plan.
const MOST_STEPS: usize = 30;

/// Pairs of causes, counted twice, times checks times repairs: above that it takes minutes to find out.
const MOST_WORK: usize = 20_000_000;

/// The missing check that saves most; none when nothing can be saved, when the plan is not exact, or when the fault is too
/// large to be planned anew for every repair.
///
/// # Errors
/// As for [`solve`].
pub fn missing_check(problem: &Problem, plan: &Plan, options: &Options) -> Result<Option<Missing>, PlanError> {
    let (causes, checks) = (problem.causes.len(), problem.checks.len());
    let work = causes.saturating_mul(causes).saturating_mul(checks).saturating_mul(problem.repairs.len());
    if !plan.exact || work > MOST_WORK {
        return Ok(None);
    }
    let mut best: Option<(Ratio<u128>, usize)> = None;
    let mut order: Vec<usize> = (0..problem.repairs.len()).collect();
    order.sort_by_key(|repair| &problem.repairs[*repair].id);
    for repair in order {
        let with = solve(&shown(problem, repair, 0), options)?;
        if with.exact && with.expected < plan.expected {
            let saves = plan.expected - with.expected;
            if best.is_none_or(|(most, _)| saves > most) {
                best = Some((saves, repair));
            }
        }
    }
    let Some((saves, repair)) = best else { return Ok(None) };
    Ok(Some(Missing { repair, saves, break_even: break_even(problem, plan, options, repair)? }))
}

/// The largest whole number of seconds at which the plan with the new check is still better. A tree that is better at
/// some price stays better up to its own break-even, so every step is a sure one.
fn break_even(problem: &Problem, plan: &Plan, options: &Options, repair: usize) -> Result<u64, PlanError> {
    let mut known = 0;
    for step in 0..MOST_STEPS {
        let seconds = known + u64::from(step > 0);
        let new = shown(problem, repair, seconds);
        let with = solve(&new, options)?;
        if with.expected >= plan.expected {
            break;
        }
        let uses = Ratio::new(with.tree.visits(new.checks.len() - 1), with.tree.total.max(1));
        if uses == Ratio::from(0) {
            break;
        }
        let free = with.expected - uses * Ratio::from(u128::from(seconds));
        let last = ((plan.expected - free) / uses).ceil().to_integer().saturating_sub(1);
        known = seconds.max(u64::try_from(last).unwrap_or(u64::MAX / 8));
    }
    Ok(known)
}

/// The problem with one more check, which shows the causes of a repair.
fn shown(problem: &Problem, repair: usize, seconds: u64) -> Problem {
    let mut problem = problem.clone();
    let (yes, no) = (0..problem.causes.len()).partition(|cause| problem.causes[*cause].repair == repair);
    let outcome =
        |label: &str, list, none| Outcome { label: label.into(), then: Then::Leaves(list), none, wrong_per_million: 0 };
    let mut id = String::from("new");
    while problem.checks.iter().any(|check| check.id == id) {
        id.push('+');
    }
    let outcomes = vec![outcome("no", no, true), outcome("yes", yes, false)];
    problem.checks.push(Check { id, seconds, outcomes, ..Check::default() });
    problem
}
