//! Recalibration reach: what a procedure, and every procedure it sends to, means for the control unit, by machine.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

use super::calls::{Role, calls};
use super::machines::{Machine, holds, is_for, machines};
use super::repairs::touches;
use crate::model::{Depot, Guide, Id, Need, Part, PartKind, Procedure, Recalibration, RecalibrationNeed};
use crate::text::Span;

/// Why a procedure has a need.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Because {
    /// It disturbs a part, in a step (from 0) or as a whole.
    Disturbs { step: Option<usize>, part: Id<Part>, at: Span },
    /// It uses up a part of this kind, so it replaces it.
    Replaces { part: Id<Part>, at: Span },
    /// It sends to a procedure with this need. `stated`: that procedure's own tag says so, its parts do not.
    Runs { role: Role, procedure: Id<Procedure>, at: Span, stated: bool },
}

/// The greatest need that reaches a procedure. `because` is absent where there is none.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reached {
    pub need: Need,
    pub because: Option<Because>,
}

/// The needs of all procedures, machine by machine.
#[derive(Debug, Default)]
pub struct Reach {
    by_machine: BTreeMap<Machine, BTreeMap<Id<Procedure>, Reached>>,
    /// Procedures that reach something the guide does not have: their need may be greater.
    unsure: BTreeSet<Id<Procedure>>,
}

/// The tag of a procedure, and the machines it stands for.
#[derive(Debug, Clone)]
pub struct TagFor<'g> {
    pub machines: Vec<Machine>,
    pub tag: &'g Recalibration,
    /// The depots that may do it, as far as the guide has them.
    pub depots: Vec<&'g Depot>,
}

const NOTHING: Reached = Reached { need: Need::None, because: None };

impl Reach {
    /// Works the needs out.
    pub fn of(guide: &Guide) -> Self {
        let callers = Callers::of(guide);
        let by_machine = machines(guide).into_iter().map(|machine| {
            let reached = reach(guide, &callers, &machine);
            (machine, reached)
        });
        Self { by_machine: by_machine.collect(), unsure: unsure(guide, &callers) }
    }

    /// What reaches a procedure on a machine.
    pub fn reached(&self, procedure: &str, machine: &Machine) -> &Reached {
        self.by_machine.get(machine).and_then(|all| all.get(procedure)).unwrap_or(&NOTHING)
    }

    /// The greatest need of a procedure over all machines it is for.
    pub fn greatest(&self, procedure: &str) -> Need {
        let needs = self.by_machine.values().filter_map(|all| all.get(procedure)).map(|reached| reached.need);
        needs.max().unwrap_or(Need::None)
    }

    /// False where the procedure reaches something the guide does not have.
    pub fn is_sure(&self, procedure: &str) -> bool {
        !self.unsure.contains(procedure)
    }

    /// From a procedure down to the part, or the tag, that makes its need: each procedure on the way and why.
    pub fn chain(&self, procedure: &str, machine: &Machine) -> Vec<(Id<Procedure>, Because)> {
        let mut chain = Vec::new();
        let mut here = Id::new(procedure);
        while let Some(because) = self.reached(here.as_str(), machine).because.clone() {
            let next = match &because {
                Because::Runs { procedure, stated: false, .. } => Some(procedure.clone()),
                _ => None,
            };
            chain.push((here, because));
            match next {
                Some(next) => here = next,
                None => break,
            }
        }
        chain
    }
}

/// The tag records of a procedure with the machines each stands for, in the order written.
pub fn tags<'g>(guide: &'g Guide, procedure: &'g Procedure) -> Vec<TagFor<'g>> {
    let machines: Vec<Machine> =
        machines(guide).into_iter().filter(|machine| is_for(&procedure.head, machine)).collect();
    let tags = procedure.recalibration.iter().map(|tag| {
        let own = |machine: &&Machine| holds(tag.variants.as_deref(), machine);
        let depots = tag.by.iter().filter_map(|link| guide.depots.get(link)).collect();
        TagFor { machines: machines.iter().filter(own).cloned().collect(), tag, depots }
    });
    tags.collect()
}

/// The greatest need that the tags of a procedure state for a machine.
pub fn stated(procedure: &Procedure, machine: &Machine) -> Option<Need> {
    let tags = procedure.recalibration.iter().filter(|tag| holds(tag.variants.as_deref(), machine));
    tags.map(|tag| tag.need.value).max()
}

/// What disturbing a part means on a machine: the record with the greatest need.
pub fn part_need<'g>(part: &'g Part, machine: &Machine) -> Option<&'g RecalibrationNeed> {
    let needs = part.recalibrate_if_disturbed.iter().filter(|need| holds(need.variants.as_deref(), machine));
    needs.filter(|_| is_for(&part.head, machine)).max_by_key(|need| need.need.value)
}

/// The parts a procedure disturbs itself: those it names, and those it uses up as spare parts.
pub fn disturbing(procedure: &Procedure) -> impl Iterator<Item = Because> {
    let named = touches(procedure).flat_map(|(step, touches)| {
        touches.disturbs.iter().map(move |link| Because::Disturbs { step, part: link.value.clone(), at: link.span })
    });
    let used = procedure.consumables.iter().filter_map(|consumable| consumable.part.as_ref());
    named.chain(used.map(|link| Because::Replaces { part: link.value.clone(), at: link.span }))
}

/// Every part that a procedure disturbs, itself or through the procedures it sends to.
pub fn disturbed_on_the_way(guide: &Guide, procedure: &Procedure) -> BTreeSet<Id<Part>> {
    let (mut parts, mut seen, mut open) = (BTreeSet::new(), BTreeSet::new(), vec![procedure]);
    while let Some(here) = open.pop() {
        if seen.insert(here.head.id.value.as_str()) {
            parts.extend(disturbing(here).filter_map(|because| because.part().cloned()));
            open.extend(calls(here).filter_map(|(_, link)| guide.procedures.get(link)));
        }
    }
    parts
}

/// True for kinds of parts that are used up without being the part that is replaced.
pub fn is_supply(kind: PartKind) -> bool {
    matches!(kind, PartKind::Seal | PartKind::Fluid)
}

impl Because {
    /// The part that ends a chain.
    pub fn part(&self) -> Option<&Id<Part>> {
        match self {
            Self::Disturbs { part, .. } | Self::Replaces { part, .. } => Some(part),
            Self::Runs { .. } => None,
        }
    }

    /// Where it stands.
    pub fn at(&self) -> Span {
        match self {
            Self::Disturbs { at, .. } | Self::Replaces { at, .. } | Self::Runs { at, .. } => *at,
        }
    }
}

/// Who sends to a procedure.
struct Callers<'g> {
    of: BTreeMap<&'g str, Vec<(&'g Procedure, Role, Span)>>,
}

impl<'g> Callers<'g> {
    fn of(guide: &'g Guide) -> Self {
        let mut of: BTreeMap<&str, Vec<_>> = BTreeMap::new();
        for procedure in &guide.procedures {
            for (role, link) in calls(procedure) {
                of.entry(link.as_str()).or_default().push((procedure, role, link.span));
            }
        }
        Self { of }
    }

    fn callers(&self, called: &str) -> &[(&'g Procedure, Role, Span)] {
        self.of.get(called).map(Vec::as_slice).unwrap_or_default()
    }
}

/// Spreads each need up to the callers, the greatest need first. Parts go before tags, so that a chain ends at a part
/// where it can; nearest callers go first, so that it is a short one.
fn reach(guide: &Guide, callers: &Callers<'_>, machine: &Machine) -> BTreeMap<Id<Procedure>, Reached> {
    let mut reached = BTreeMap::new();
    for level in [Need::Required, Need::Conditional] {
        let mut spread = Spread { level, callers, machine, reached: &mut reached, seen: BTreeSet::new() };
        let here = || guide.procedures.iter().filter(|it| is_for(&it.head, machine));
        spread.from(here().filter_map(|procedure| {
            let own = disturbing(procedure).find(|because| direct_need(guide, because, machine) == level)?;
            Some((Id::new(procedure.head.id.value.as_str()), Some(own)))
        }));
        let saying = here().filter(|procedure| stated(procedure, machine) == Some(level));
        spread.from(saying.map(|procedure| (Id::new(procedure.head.id.value.as_str()), None)));
    }
    reached
}

/// One need on its way up.
struct Spread<'s, 'g> {
    level: Need,
    callers: &'s Callers<'g>,
    machine: &'s Machine,
    reached: &'s mut BTreeMap<Id<Procedure>, Reached>,
    seen: BTreeSet<Id<Procedure>>,
}

impl Spread<'_, '_> {
    fn from(&mut self, starts: impl Iterator<Item = (Id<Procedure>, Option<Because>)>) {
        let mut open = VecDeque::new();
        for (id, own) in starts {
            if let Some(own) = own {
                self.reach(&id, own);
            }
            if self.seen.insert(id.clone()) {
                open.push_back(id);
            }
        }
        while let Some(called) = open.pop_front() {
            let stated = self.reached.get(&called).is_none_or(|it| it.need < self.level);
            for (caller, role, at) in self.callers.callers(called.as_str()) {
                let id = Id::new(caller.head.id.value.as_str());
                if !is_for(&caller.head, self.machine) || id == called {
                    continue;
                }
                self.reach(&id, Because::Runs { role: *role, procedure: called.clone(), at: *at, stated });
                if self.seen.insert(id.clone()) {
                    open.push_back(id);
                }
            }
        }
    }

    fn reach(&mut self, id: &Id<Procedure>, because: Because) {
        self.reached.entry(id.clone()).or_insert(Reached { need: self.level, because: Some(because) });
    }
}

fn direct_need(guide: &Guide, because: &Because, machine: &Machine) -> Need {
    let part = because.part().and_then(|part| guide.parts.get(part));
    part.and_then(|part| part_need(part, machine)).map_or(Need::None, |need| need.need.value)
}

fn unsure(guide: &Guide, callers: &Callers<'_>) -> BTreeSet<Id<Procedure>> {
    let mut unsure = BTreeSet::new();
    let mut open = Vec::new();
    for procedure in &guide.procedures {
        let part_missing =
            disturbing(procedure).any(|because| because.part().is_some_and(|part| guide.parts.get(part).is_none()));
        if part_missing || calls(procedure).any(|(_, link)| guide.procedures.get(link).is_none()) {
            let id: Id<Procedure> = Id::new(procedure.head.id.value.as_str());
            unsure.insert(id.clone());
            open.push(id);
        }
    }
    while let Some(called) = open.pop() {
        for (caller, ..) in callers.callers(called.as_str()) {
            let id = Id::new(caller.head.id.value.as_str());
            if unsure.insert(id.clone()) {
                open.push(id);
            }
        }
    }
    unsure
}
