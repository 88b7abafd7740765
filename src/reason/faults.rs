//! What the checks of a fault are worth: which causes they show, and which they tell apart.

use std::collections::{BTreeMap, BTreeSet};

use super::circles::{Edges, caught};
use super::proof::{WantsProof, wants_proof};
use super::recalibration::Reach;
use crate::model::{Cause, Check, Entry, Fault, Guide, Id, Link};

/// Facts about one fault. Causes, checks and answers are named by their position in it.
#[derive(Debug)]
pub struct FaultFacts {
    pub causes: Vec<CauseFacts>,
    pub checks: Vec<CheckFacts>,
    /// False where an answer names a cause that is not there: what it would leave nobody knows.
    pub sure: bool,
}

/// Facts about one cause.
#[derive(Debug)]
pub struct CauseFacts {
    pub showing: Showing,
    /// Causes with another repair that no check tells apart from this one.
    pub never_told_from: BTreeSet<usize>,
    /// Why its repair must not be done on a guess.
    pub wants_proof: Option<WantsProof>,
}

/// How a cause is found.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Showing {
    /// This answer leaves only causes with its repair.
    Shown {
        check: usize,
        answer: usize,
    },
    /// It is what is left when everything else has been excluded.
    ByElimination,
    Never,
}

/// Facts about one check.
#[derive(Debug)]
pub struct CheckFacts {
    pub answers: Vec<Left>,
    /// True where its answers do not all lead to the same repairs.
    pub decides: bool,
    /// False where it waits, by `after`, for itself.
    pub reachable: bool,
    /// False where one of its answers names a cause that is not there.
    pub sure: bool,
}

/// What an answer leaves.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Left {
    Causes(BTreeSet<usize>),
    /// The work goes on in another fault.
    Elsewhere,
}

impl FaultFacts {
    /// Works them out.
    pub fn of(guide: &Guide, reach: &Reach, fault: &Fault) -> Self {
        let repairs = repairs(fault);
        let places = Places::of(fault);
        let waiting = waiting_for_themselves(fault);
        let facts = |check: &Check| CheckFacts {
            reachable: !waiting.contains(check.id.value.as_str()),
            ..check_facts(&places, check, &repairs)
        };
        let checks: Vec<CheckFacts> = fault.checks.iter().map(facts).collect();
        let told = Told::of(fault, &checks);
        let shown: Vec<Showing> =
            (0..fault.causes.len()).map(|cause| shown(fault, &places, &checks, &repairs, cause)).collect();
        let causes = fault.causes.iter().enumerate().map(|(cause, entry)| {
            let others = || (0..fault.causes.len()).filter(|other| repairs.get(*other) != repairs.get(cause));
            let never_told_from: BTreeSet<usize> = others().filter(|other| !told.apart(cause, *other)).collect();
            let wants_proof = entry.repair.as_ref().and_then(|repair| wants_proof(guide, reach, repair));
            let leftover = entry.by_elimination.is_some()
                && wants_proof.is_none()
                && never_told_from.is_empty()
                && others().any(|other| matches!(shown.get(other), Some(Showing::Shown { .. })));
            let showing = match shown.get(cause) {
                Some(Showing::Never) if leftover => Showing::ByElimination,
                Some(showing) => *showing,
                None => Showing::Never,
            };
            CauseFacts { showing, never_told_from, wants_proof }
        });
        let causes = causes.collect();
        let sure = checks.iter().all(|check| check.sure);
        Self { causes, checks, sure }
    }
}

impl CheckFacts {
    /// The causes that no answer leaves.
    pub fn leaves_out(&self, causes: usize) -> BTreeSet<usize> {
        (0..causes).filter(|cause| !self.answers.iter().any(|answer| answer.leaves(*cause))).collect()
    }
}

impl Left {
    /// True where the cause is still possible after the answer.
    pub fn leaves(&self, cause: usize) -> bool {
        matches!(self, Self::Causes(causes) if causes.contains(&cause))
    }
}

/// The position of a cause of the fault, named as in `leaves`.
pub fn position(fault: &Fault, cause: &str) -> Option<usize> {
    fault.causes.iter().position(|known| known.id.value == cause)
}

/// The cause that `brings` names: of the same fault, or of another as `fault/cause`.
pub fn brought<'g>(guide: &'g Guide, fault: &'g Fault, link: &Link<Cause>) -> Option<(&'g Fault, usize)> {
    let (fault, cause) = match link.as_str().split_once('/') {
        Some((owner, cause)) => (guide.faults.find(owner)?, cause),
        None => (fault, link.as_str()),
    };
    Some((fault, position(fault, cause)?))
}

/// What mends each cause, as something to compare: a cause without repair is like no other.
fn repairs(fault: &Fault) -> Vec<Mended<'_>> {
    let mended = fault.causes.iter().enumerate().map(|(index, cause)| match &cause.repair {
        Some(repair) => Mended::By(repair.as_str()),
        None => Mended::Nobody(index),
    });
    mended.collect()
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Mended<'f> {
    By(&'f str),
    Nobody(usize),
}

/// Where the causes and checks of a fault stand, by id; of two with one id the first.
struct Places<'f> {
    causes: BTreeMap<&'f str, usize>,
    checks: BTreeMap<&'f str, usize>,
}

impl<'f> Places<'f> {
    fn of(fault: &'f Fault) -> Self {
        let causes = fault.causes.iter().map(|cause| cause.id.value.as_str()).enumerate().rev();
        let checks = fault.checks.iter().map(|check| check.id.value.as_str()).enumerate().rev();
        Self {
            causes: causes.map(|(place, id)| (id, place)).collect(),
            checks: checks.map(|(place, id)| (id, place)).collect(),
        }
    }
}

fn check_facts(places: &Places<'_>, check: &Check, repairs: &[Mended<'_>]) -> CheckFacts {
    let mut sure = true;
    let answers = check.answers.iter().map(|answer| {
        if answer.leaves.is_empty() && answer.go_to.is_some() {
            return Left::Elsewhere;
        }
        let named = answer.leaves.iter().map(|link| places.causes.get(link.as_str()).copied());
        sure &= named.clone().all(|cause| cause.is_some());
        Left::Causes(named.flatten().collect())
    });
    let answers: Vec<Left> = answers.collect();
    CheckFacts { decides: decides(&answers, repairs), reachable: true, answers, sure }
}

/// True where two answers differ in the repairs they leave, or one goes elsewhere and one does not.
fn decides(answers: &[Left], repairs: &[Mended<'_>]) -> bool {
    let outcome = |answer: &Left| match answer {
        Left::Elsewhere => None,
        Left::Causes(causes) => Some(causes.iter().filter_map(|cause| repairs.get(*cause).copied()).collect()),
    };
    let outcomes: BTreeSet<Option<BTreeSet<Mended<'_>>>> = answers.iter().map(outcome).collect();
    outcomes.len() > 1
}

/// Ids of the checks that wait for themselves, or wait and are waited for by some that do.
fn waiting_for_themselves(fault: &Fault) -> BTreeSet<&str> {
    let mut edges: Edges<'_, ()> = BTreeMap::new();
    for check in &fault.checks {
        let after = check.after.iter().map(|link| (link.as_str(), ()));
        edges.entry(check.id.value.as_str()).or_default().extend(after);
    }
    caught(&edges)
}

/// The first answer, of a check worth making, that leaves only causes with the repair of this one.
fn shown(fault: &Fault, places: &Places<'_>, checks: &[CheckFacts], repairs: &[Mended<'_>], cause: usize) -> Showing {
    for (check, facts) in checks.iter().enumerate().filter(|(_, facts)| facts.decides && facts.reachable) {
        if !reaches(fault, places, checks, check, cause) {
            continue;
        }
        let only = |answer: &&Left| match answer {
            Left::Causes(causes) => {
                causes.contains(&cause) && causes.iter().all(|other| repairs.get(*other) == repairs.get(cause))
            }
            Left::Elsewhere => false,
        };
        if let Some(answer) = facts.answers.iter().position(|answer| only(&answer)) {
            return Showing::Shown { check, answer };
        }
    }
    Showing::Never
}

/// True where every check that comes before this one has an answer that leaves the cause.
fn reaches(fault: &Fault, places: &Places<'_>, checks: &[CheckFacts], check: usize, cause: usize) -> bool {
    let after = fault.checks.get(check).map(|check| check.after.as_slice()).unwrap_or_default();
    after.iter().all(|link| {
        let earlier = places.checks.get(link.as_str()).and_then(|earlier| checks.get(*earlier));
        earlier.is_none_or(|facts| facts.answers.iter().any(|answer| answer.leaves(cause)))
    })
}

/// Which causes some check tells apart: none of its answers leaves both. One row of bits per cause.
struct Told {
    apart: Vec<Bits>,
}

impl Told {
    fn of(fault: &Fault, checks: &[CheckFacts]) -> Self {
        let count = fault.causes.len();
        let mut apart = vec![Bits::none(count); count];
        for facts in checks.iter().filter(|facts| facts.reachable) {
            let answers: Vec<Bits> = facts.answers.iter().map(|answer| Bits::of(answer, count)).collect();
            let mut judged = Bits::none(count);
            answers.iter().for_each(|answer| judged.add(answer));
            for (one, row) in apart.iter_mut().enumerate().filter(|(one, _)| judged.has(*one)) {
                let mut others = judged.clone();
                answers.iter().filter(|answer| answer.has(one)).for_each(|answer| others.take_away(answer));
                row.add(&others);
            }
        }
        Self { apart }
    }

    fn apart(&self, one: usize, other: usize) -> bool {
        self.apart.get(one).is_some_and(|row| row.has(other))
    }
}

/// A set of causes, a bit each: a fault with thousands of causes and checks is judged at every keystroke.
#[derive(Clone)]
struct Bits(Vec<u64>);

impl Bits {
    fn none(count: usize) -> Self {
        Self(vec![0; count.div_ceil(64)])
    }

    fn of(answer: &Left, count: usize) -> Self {
        let mut bits = Self::none(count);
        if let Left::Causes(causes) = answer {
            for cause in causes {
                if let Some(word) = bits.0.get_mut(cause / 64) {
                    *word |= 1 << (cause % 64);
                }
            }
        }
        bits
    }

    fn has(&self, cause: usize) -> bool {
        self.0.get(cause / 64).is_some_and(|word| word >> (cause % 64) & 1 == 1)
    }

    fn add(&mut self, other: &Self) {
        self.0.iter_mut().zip(&other.0).for_each(|(word, more)| *word |= more);
    }

    fn take_away(&mut self, other: &Self) {
        self.0.iter_mut().zip(&other.0).for_each(|(word, less)| *word &= !less);
    }
}

/// The facts of all faults, by id.
pub fn of_all(guide: &Guide, reach: &Reach) -> BTreeMap<Id<Fault>, FaultFacts> {
    guide.faults.iter().map(|fault| (Id::new(fault.id()), FaultFacts::of(guide, reach, fault))).collect()
}
