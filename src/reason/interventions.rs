//! Interventions: where a person acts on the machine by the guide, with what stands before and after (the word of ISO 12100, from memory).

use super::hazards::{Site, Warning};
use super::repairs::Repairs;
use crate::model::{
    Access, Caution, Entry, Fault, Guide, Hazard, Head, Id, Link, Procedure, ProcedureKind, State, Touches,
};

/// One intervention.
pub(super) struct Intervention<'g> {
    pub(super) site: Site,
    /// The entry it stands in.
    pub(super) head: &'g Head,
    pub(super) touches: &'g Touches,
    /// The state the machine must be in.
    pub(super) state: Option<&'g Link<State>>,
    /// Cautions read before it.
    before: Vec<&'g Caution>,
    /// Cautions read only after it.
    after: Vec<&'g Caution>,
    /// Procedures done before it.
    pub(super) safe_before: Vec<&'g Link<Procedure>>,
    /// Procedures done only after it.
    pub(super) safe_after: Vec<&'g Link<Procedure>>,
    procedure: Option<&'g Procedure>,
}

impl Intervention<'_> {
    /// Where the caution about a hazard stands.
    pub(super) fn warning(&self, hazard: &Id<Hazard>) -> Warning {
        if self.before.iter().any(|caution| caution.covers(hazard)) {
            return Warning::Before;
        }
        let late = self.after.iter().find(|caution| caution.covers(hazard));
        late.map_or(Warning::Never, |caution| Warning::After(caution.span))
    }

    /// True in a procedure that is there to remove the hazard, and is no repair.
    pub(super) fn makes_safe_itself(&self, repairs: &Repairs, hazard: &Id<Hazard>) -> bool {
        self.procedure.is_some_and(|procedure| {
            procedure.kind.value == ProcedureKind::MakeSafe
                && procedure.makes_safe.iter().any(|made| made.value == *hazard)
                && repairs.because(procedure.id()).is_none()
        })
    }
}

/// Every intervention, fault by fault and procedure by procedure.
pub(super) fn interventions(guide: &Guide) -> Vec<Intervention<'_>> {
    let faults = guide.faults.iter().flat_map(|fault| of_fault(guide, fault));
    faults.chain(guide.procedures.iter().flat_map(|procedure| of_procedure(guide, procedure))).collect()
}

fn of_fault<'g>(guide: &'g Guide, fault: &'g Fault) -> Vec<Intervention<'g>> {
    let id = || Id::new(fault.id());
    let standing = || guide.cautions.iter().chain(&fault.cautions);
    let blank = |site, touches| Intervention {
        site,
        head: &fault.head,
        touches,
        state: None,
        before: Vec::new(),
        after: Vec::new(),
        safe_before: Vec::new(),
        safe_after: Vec::new(),
        procedure: None,
    };
    let verify = fault.verify.iter().map(|verify| Intervention {
        state: verify.state.as_ref(),
        before: standing().chain(&verify.cautions).collect(),
        ..blank(Site::Verify(id()), &verify.touches)
    });
    let accesses = fault.accesses.iter().enumerate().map(|(index, access)| Intervention {
        state: access.state.as_ref(),
        before: standing().chain(&access.cautions).collect(),
        after: users(fault, access).flat_map(|user| user.cautions).collect(),
        safe_before: access.make_safe.iter().collect(),
        safe_after: users(fault, access).flat_map(|user| user.make_safe).collect(),
        ..blank(Site::Access(id(), index), &access.touches)
    });
    let checks = fault.checks.iter().enumerate().map(|(index, check)| Intervention {
        state: check.state.as_ref(),
        before: standing().chain(&check.cautions).collect(),
        safe_before: check.make_safe.iter().collect(),
        ..blank(Site::Check(id(), index), &check.touches)
    });
    verify.chain(accesses).chain(checks).collect()
}

/// What an access prepares for.
struct User<'g> {
    cautions: &'g [Caution],
    make_safe: &'g [Link<Procedure>],
}

/// Checks and accesses that come after an access because they need it.
fn users<'g>(fault: &'g Fault, access: &'g Access) -> impl Iterator<Item = User<'g>> {
    let needs = move |links: &[Link<Access>]| links.iter().any(|link| link.as_str() == access.id.value);
    let checks = fault.checks.iter().filter(move |check| needs(&check.access));
    let checks = checks.map(|check| User { cautions: &check.cautions, make_safe: &check.make_safe });
    let accesses = fault.accesses.iter().filter(move |later| needs(&later.needs));
    checks.chain(accesses.map(|later| User { cautions: &later.cautions, make_safe: &later.make_safe }))
}

fn of_procedure<'g>(guide: &'g Guide, procedure: &'g Procedure) -> Vec<Intervention<'g>> {
    let standing = || guide.cautions.iter().chain(&procedure.cautions);
    let runs = |from: usize, to: usize| {
        let steps = procedure.steps.get(from..to).unwrap_or_default();
        steps.iter().filter_map(|step| step.run.as_ref())
    };
    let cautions = |from: usize, to: usize| {
        procedure.steps.get(from..to).unwrap_or_default().iter().flat_map(|step| &step.cautions)
    };
    let count = procedure.steps.len();
    let intervention = |site, touches, first: usize, last: usize| Intervention {
        site,
        head: &procedure.head,
        touches,
        state: procedure.state.as_ref(),
        before: standing().chain(cautions(0, last.min(count))).collect(),
        after: cautions(last.min(count), count).collect(),
        safe_before: procedure.make_safe.iter().chain(runs(0, first)).collect(),
        safe_after: runs(first, count).collect(),
        procedure: Some(procedure),
    };
    // What the procedure touches as a whole it may touch from the first step on that makes nothing safe.
    let safe_steps = procedure.steps.iter().take_while(|step| is_make_safe(guide, step.run.as_ref())).count();
    let whole = intervention(Site::Procedure(Id::new(procedure.id())), &procedure.touches, safe_steps, safe_steps + 1);
    let steps =
        procedure.steps.iter().enumerate().map(|(index, step)| {
            intervention(Site::Step(Id::new(procedure.id()), index), &step.touches, index, index + 1)
        });
    std::iter::once(whole).chain(steps).collect()
}

fn is_make_safe(guide: &Guide, run: Option<&Link<Procedure>>) -> bool {
    let procedure = run.and_then(|link| guide.procedures.get(link));
    procedure.is_some_and(|procedure| procedure.kind.value == ProcedureKind::MakeSafe)
}
