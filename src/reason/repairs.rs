//! Which procedures are repairs, whatever they call themselves.

use std::collections::BTreeMap;

use super::calls::{Role, calls};
use crate::model::{Fault, Guide, Id, Link, Part, Procedure, ProcedureKind, Touches};
use crate::text::Span;

/// Why a procedure is a repair.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RepairBecause {
    /// It says so.
    Says,
    /// A cause or a trying check of this fault names it, there.
    Named { fault: Id<Fault>, at: Span },
    /// It takes off, adjusts or replaces this part, there.
    Disturbs { part: Id<Part>, at: Span },
    /// A step of it runs a procedure that disturbs a part, there.
    Runs { procedure: Id<Procedure>, at: Span },
}

/// The repairs of a guide.
#[derive(Debug, Default)]
pub struct Repairs {
    because: BTreeMap<Id<Procedure>, RepairBecause>,
}

impl Repairs {
    /// Finds the repairs.
    pub fn of(guide: &Guide) -> Self {
        let mut repairs = Self::default();
        repairs.take_disturbing(guide);
        repairs.take_callers(guide);
        repairs.take_named(guide);
        for procedure in guide.procedures.iter().filter(|it| it.kind.value == ProcedureKind::Repair) {
            repairs.because.insert(Id::new(procedure.head.id.value.as_str()), RepairBecause::Says);
        }
        repairs
    }

    /// Why the procedure is a repair; `None` where it is not.
    pub fn because(&self, procedure: &str) -> Option<&RepairBecause> {
        self.because.get(procedure)
    }

    fn take_disturbing(&mut self, guide: &Guide) {
        for procedure in &guide.procedures {
            if let Some(link) = disturbed(procedure).next() {
                let because = RepairBecause::Disturbs { part: link.value.clone(), at: link.span };
                self.because.insert(Id::new(procedure.head.id.value.as_str()), because);
            }
        }
    }

    /// A step that runs a disturbing procedure disturbs; so on upwards.
    fn take_callers(&mut self, guide: &Guide) {
        let mut callers: BTreeMap<&str, Vec<(&Procedure, &Link<Procedure>)>> = BTreeMap::new();
        for procedure in &guide.procedures {
            for (_, link) in calls(procedure).filter(|(role, _)| matches!(role, Role::Step(_))) {
                callers.entry(link.as_str()).or_default().push((procedure, link));
            }
        }
        let mut open: Vec<Id<Procedure>> = self.because.keys().cloned().collect();
        while let Some(called) = open.pop() {
            for (caller, link) in callers.get(called.as_str()).into_iter().flatten() {
                let id = Id::new(caller.head.id.value.as_str());
                if !self.because.contains_key(&id) {
                    let because = RepairBecause::Runs { procedure: called.clone(), at: link.span };
                    self.because.insert(id.clone(), because);
                    open.push(id);
                }
            }
        }
    }

    fn take_named(&mut self, guide: &Guide) {
        for fault in &guide.faults {
            let causes = fault.causes.iter().filter_map(|cause| cause.repair.as_ref());
            let trying = fault.checks.iter().filter_map(|check| check.tries.as_ref());
            for link in causes.chain(trying) {
                let named = || RepairBecause::Named { fault: Id::new(fault.head.id.value.as_str()), at: link.span };
                self.because.entry(link.value.clone()).or_insert_with(named);
            }
        }
    }
}

/// The parts a procedure disturbs itself, as a whole and step by step.
pub fn disturbed(procedure: &Procedure) -> impl Iterator<Item = &Link<Part>> {
    touches(procedure).flat_map(|(_, touches)| &touches.disturbs)
}

/// What a procedure does to parts: as a whole (`None`), then step by step.
pub fn touches(procedure: &Procedure) -> impl Iterator<Item = (Option<usize>, &Touches)> {
    let steps = procedure.steps.iter().enumerate().map(|(index, step)| (Some(index), &step.touches));
    std::iter::once((None, &procedure.touches)).chain(steps)
}
