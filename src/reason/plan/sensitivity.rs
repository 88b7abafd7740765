//! How far a likelihood may move before the first check changes.
//!
//! As a function of one cause's weight, the cost of any fixed tree is a straight line, so the least cost is concave and
//! made of such lines. From the present weight the lines are followed, nearest first, until the tree that is best
//! begins with another check. Two lines that meet where nothing is cheaper are neighbours (Eisner & Severance 1976,
//! cited from memory).

use num_rational::Ratio;

use super::problem::{PlanError, Problem};
use super::solve::{Options, Plan, solve};
use super::tree::{Step, Tree};

/// Where the first check changes, as a likelihood of the cause.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Reach {
    /// At this likelihood another first check becomes as good.
    Changes(Ratio<u128>),
    /// The first check stays as far as a likelihood can go (down to zero, up to 999 in 1,000).
    Stays,
    /// Not proved further than this likelihood.
    Unknown(Ratio<u128>),
}

/// How far one cause's likelihood may move.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Margin {
    /// Position of the cause.
    pub cause: usize,
    /// Its likelihood now.
    pub now: Ratio<u128>,
    /// Going down.
    pub down: Reach,
    /// Going up.
    pub up: Reach,
}

/// Plans made for one margin at most.
const MOST_PLANS: usize = 60;
/// The heaviest a cause is made, in parts of all others.
const HEAVIEST: i128 = 999;

type Number = Ratio<i128>;

/// Margins of all causes.
///
/// # Errors
/// As for [`solve`].
pub fn margins(problem: &Problem, plan: &Plan, options: &Options) -> Result<Vec<Margin>, PlanError> {
    margins_within(problem, plan, options, u64::MAX)
}

/// Margins of all causes, as far as they can be had for so many positions of searching; every plan counts for some more.
///
/// # Errors
/// As for [`solve`].
pub fn margins_within(problem: &Problem, plan: &Plan, options: &Options, nodes: u64) -> Result<Vec<Margin>, PlanError> {
    let mut left = nodes;
    (0..problem.causes.len()).map(|cause| margin(problem, plan, options, cause, &mut left)).collect()
}

fn margin(
    problem: &Problem,
    plan: &Plan,
    options: &Options,
    cause: usize,
    left: &mut u64,
) -> Result<Margin, PlanError> {
    let first = first(problem, &plan.tree);
    let mut sweep = Sweep { problem: with_equal(problem, plan), options, cause, plans: 0, left: *left, first };
    let now = Number::from(sweep.weight(cause));
    let here = Point { weight: now, line: sweep.line(&plan.tree), same: true, sure: plan.exact };
    let heaviest = Number::from(HEAVIEST * sweep.others().max(1)).max(now);
    let (down, up) = (sweep.reach(here, Number::from(0))?, sweep.reach(here, heaviest)?);
    *left = sweep.left;
    Ok(Margin { cause, now: sweep.share(now), down, up })
}

/// The problem with the weights the plan was made with.
fn with_equal(problem: &Problem, plan: &Plan) -> Problem {
    let mut problem = problem.clone();
    if plan.assumed_equal {
        problem.causes.iter_mut().for_each(|cause| cause.weight = 1);
    }
    problem
}

/// Cost as a function of the weight: `base + slope * weight`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
struct Line {
    base: Number,
    slope: Number,
}

impl Line {
    fn at(&self, weight: Number) -> Number {
        self.base + self.slope * weight
    }
}

/// The best tree at one weight.
#[derive(Debug, Clone, Copy)]
struct Point {
    weight: Number,
    line: Line,
    /// It begins with the same check.
    same: bool,
    /// It is proved the best.
    sure: bool,
}

struct Sweep<'a> {
    problem: Problem,
    options: &'a Options,
    cause: usize,
    plans: usize,
    /// Positions that may still be searched.
    left: u64,
    first: Vec<usize>,
}

impl Sweep<'_> {
    fn weight(&self, cause: usize) -> i128 {
        i128::try_from(self.problem.causes[cause].weight).unwrap_or(i128::MAX)
    }

    fn others(&self) -> i128 {
        let rest = (0..self.problem.causes.len()).filter(|other| *other != self.cause).map(|other| self.weight(other));
        rest.sum::<i128>() + i128::try_from(self.problem.none_of_these.unwrap_or(0)).unwrap_or(i128::MAX)
    }

    fn share(&self, weight: Number) -> Ratio<u128> {
        let all = weight + Number::from(self.others());
        let share = if all == Number::from(0) { all } else { weight / all };
        Ratio::new(share.numer().unsigned_abs(), share.denom().unsigned_abs())
    }

    fn line(&self, tree: &Tree) -> Line {
        let means = tree.mean_find(&self.problem);
        let signed = |mean: &Ratio<u128>| Number::new(*mean.numer() as i128, *mean.denom() as i128);
        let none = i128::try_from(self.problem.none_of_these.unwrap_or(0)).unwrap_or(i128::MAX);
        let weight = |cause: usize| if cause < self.problem.causes.len() { self.weight(cause) } else { none };
        let rest = (0..means.len()).filter(|other| *other != self.cause);
        Line {
            base: rest.map(|other| signed(&means[other]) * Number::from(weight(other))).sum(),
            slope: signed(&means[self.cause]),
        }
    }

    /// The best tree with another weight.
    fn point(&mut self, weight: Number) -> Result<Point, PlanError> {
        self.plans += 1;
        let mut problem = self.problem.clone();
        let part = weight.denom().unsigned_abs();
        for cause in &mut problem.causes {
            cause.weight =
                cause.weight.checked_mul(part).ok_or(PlanError::TooLarge("the weights have too many digits"))?;
        }
        problem.none_of_these = problem.none_of_these.map(|none| none.saturating_mul(part));
        problem.causes[self.cause].weight = weight.numer().unsigned_abs();
        let plan = solve(&problem, self.options)?;
        self.left = self.left.saturating_sub(plan.nodes + effort(&problem));
        let same = first(&problem, &plan.tree) == self.first;
        Ok(Point { weight, line: self.line(&plan.tree), same, sure: plan.exact })
    }

    /// Follows the lines from `here` to `end`, nearest first.
    fn reach(&mut self, here: Point, end: Number) -> Result<Reach, PlanError> {
        if here.weight == end {
            return Ok(Reach::Stays);
        }
        self.plans = 0;
        if !here.sure || self.left == 0 {
            return Ok(Reach::Unknown(self.share(here.weight)));
        }
        let (mut here, mut ahead) = (here, vec![self.point(end)?]);
        while let Some(there) = ahead.last().copied() {
            if self.plans > MOST_PLANS || self.left == 0 || !there.sure || !here.sure {
                return Ok(Reach::Unknown(self.share(here.weight)));
            }
            let meet = if here.line.slope == there.line.slope {
                there.weight
            } else {
                (there.line.base - here.line.base) / (here.line.slope - there.line.slope)
            };
            let between = meet != here.weight && meet != there.weight;
            let middle = if between { Some(self.point(meet)?) } else { None };
            match middle {
                Some(middle) if middle.line.at(meet) < here.line.at(meet) => ahead.push(middle),
                _ if there.same => {
                    here = there;
                    ahead.pop();
                }
                _ => return Ok(Reach::Changes(self.share(meet))),
            }
        }
        Ok(Reach::Stays)
    }
}

/// What a plan counts for beside the positions it searches: by its size, as most of the time goes into the first.
fn effort(problem: &Problem) -> u64 {
    let (causes, checks) = (problem.causes.len() as u64, problem.checks.len() as u64);
    20 + causes.saturating_mul(causes).saturating_mul(checks) / 500
}

/// The first checks that are not pinned, one for each way the pinned ones can go.
fn first(problem: &Problem, tree: &Tree) -> Vec<usize> {
    let mut open = vec![0];
    let mut list = Vec::new();
    let mut pinned = vec![false; problem.checks.len()];
    (0..problem.checks.len()).filter(|at| problem.checks[*at].first).for_each(|at| pin(problem, at, &mut pinned));
    while let Some(at) = open.pop() {
        match &tree.nodes[at].step {
            Step::Check(step) if pinned[step.check] => open.extend(step.answers.iter().map(|(_, to)| *to)),
            Step::Check(step) => list.push(step.check),
            _ => list.push(usize::MAX),
        }
    }
    list
}

fn pin(problem: &Problem, at: usize, pinned: &mut [bool]) {
    if !std::mem::replace(&mut pinned[at], true) {
        problem.checks[at].after.iter().for_each(|earlier| pin(problem, *earlier, pinned));
    }
}
