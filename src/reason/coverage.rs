//! Which parts a fault covers: those that its checks or the repairs of its causes touch.

use std::collections::{BTreeMap, BTreeSet};

use crate::model::{Entry, Fault, Guide, Id, Kind, Link, Part, Procedure};

/// Faults and the parts they cover.
#[derive(Debug, Default)]
pub struct Coverage {
    by_part: BTreeMap<Id<Part>, BTreeSet<Id<Fault>>>,
    /// Faults with a repair that is not there.
    unfinished: BTreeSet<Id<Fault>>,
}

impl Coverage {
    /// Works out what every fault covers: parts it opens, moves, disturbs or links to; parts on the wiring path of a
    /// test point it uses; parts that a repair of its causes, or a repair a check tries, opens, moves or disturbs.
    pub fn of(guide: &Guide) -> Self {
        let mut coverage = Self::default();
        for link in guide.index.links.iter().filter(|link| link.to.kind == Kind::Part) {
            if let Some(from) = link.from.as_ref().filter(|from| from.kind == Kind::Fault) {
                coverage.add(Id::new(link.to.id.as_str()), Id::new(from.id.as_str()));
            }
        }
        for fault in &guide.faults {
            let (parts, whole) = parts_of(guide, fault);
            parts.into_iter().for_each(|part| coverage.add(part, Id::new(fault.id())));
            if !whole {
                coverage.unfinished.insert(Id::new(fault.id()));
            }
        }
        coverage
    }

    fn add(&mut self, part: Id<Part>, fault: Id<Fault>) {
        self.by_part.entry(part).or_default().insert(fault);
    }

    /// The faults that cover a part, in the order of their ids.
    pub fn faults_of(&self, part: &Id<Part>) -> impl Iterator<Item = &Id<Fault>> {
        self.by_part.get(part).into_iter().flatten()
    }

    /// True where a fault that covers one of these parts, or none at all, has a repair that is not there: it may cover any
    /// of them.
    pub fn may_cover(&self, parts: &BTreeSet<&Id<Part>>) -> bool {
        let here = |fault: &Id<Fault>| parts.iter().any(|part| self.covers(fault, part));
        let nowhere = |fault: &Id<Fault>| !self.by_part.values().any(|faults| faults.contains(fault));
        self.unfinished.iter().any(|fault| here(fault) || nowhere(fault))
    }

    /// True where a fault covers a part.
    pub fn covers(&self, fault: &Id<Fault>, part: &Id<Part>) -> bool {
        self.by_part.get(part).is_some_and(|faults| faults.contains(fault))
    }
}

/// The parts, and whether everything that the repairs run is there.
fn parts_of(guide: &Guide, fault: &Fault) -> (BTreeSet<Id<Part>>, bool) {
    let (mut parts, mut whole) = (BTreeSet::new(), true);
    for (path, _) in fault.checks.iter().filter_map(|check| check.test_point.as_ref()) {
        let nodes = guide.wiring.get(&path.value).into_iter().flat_map(|path| &path.nodes);
        parts.extend(nodes.filter_map(|node| node.part.as_ref()).map(|part| part.value.clone()));
    }
    let repairs = fault.causes.iter().filter_map(|cause| cause.repair.as_ref());
    let tried = fault.checks.iter().filter_map(|check| check.tries.as_ref());
    let mut open: Vec<&Link<Procedure>> = repairs.chain(tried).collect();
    let mut seen = BTreeSet::new();
    while let Some(link) = open.pop() {
        let procedure = guide.procedures.get(&link.value);
        whole &= procedure.is_some();
        let Some(procedure) = procedure.filter(|it| seen.insert(it.id())) else { continue };
        let steps = procedure.steps.iter();
        let touched = procedure.touches.all().chain(steps.clone().flat_map(|step| step.touches.all()));
        parts.extend(touched.map(|part| part.value.clone()));
        open.extend(steps.filter_map(|step| step.run.as_ref()));
    }
    (parts, whole)
}
