//! Exposure: where a person meets a hazard, whether a caution stands before it, and whether it was made safe before.

use std::collections::BTreeMap;

use super::fluids::Wet;
use super::interventions::{Intervention, interventions};
use super::machines::{Machine, is_for, machines};
use super::repairs::Repairs;
use crate::model::{
    Contact, Fault, Guide, Hazard, HazardKind, Id, Link, Part, Procedure, ProcedureKind, State, Touches,
};
use crate::text::Span;

/// Where a person acts on the machine. Positions count from 0.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Site {
    Verify(Id<Fault>),
    Access(Id<Fault>, usize),
    Check(Id<Fault>, usize),
    /// A procedure as a whole: nobody knows in which step.
    Procedure(Id<Procedure>),
    Step(Id<Procedure>, usize),
}

/// Whether a caution about the hazard stands before the action.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Warning {
    Before,
    /// Only after it, there.
    After(Span),
    Never,
}

/// Whether the hazard is gone before the action.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Safety {
    /// By the state the machine must be in.
    State,
    /// By a procedure that is done before.
    Before,
    /// The action is what makes it safe, or nothing can (a sharp edge, a chemical): the caution must do.
    Itself,
    /// Only after it, there.
    After(Span),
    /// Never, on these machines.
    Never(Vec<Machine>),
}

/// One hazard met at one intervention.
#[derive(Debug, Clone)]
pub struct Exposure {
    pub site: Site,
    pub hazard: Id<Hazard>,
    /// The part that brings it.
    pub part: Id<Part>,
    pub contact: Contact,
    /// True where the hazard is that of the load the part carries.
    pub load: bool,
    /// Where the part is named.
    pub at: Span,
    pub warning: Warning,
    pub safety: Safety,
}

/// How a part brings a hazard out.
#[derive(Debug, Clone)]
struct Touch {
    part: Id<Part>,
    contact: Contact,
    load: bool,
    at: Span,
    machines: Vec<Machine>,
}

/// Every hazard met in a guide, one for each intervention and hazard.
pub fn exposures(guide: &Guide, wet: &Wet, repairs: &Repairs) -> Vec<Exposure> {
    let machines = machines(guide);
    interventions(guide).iter().flat_map(|one| of_intervention(guide, wet, repairs, &machines, one)).collect()
}

fn of_intervention(
    guide: &Guide,
    wet: &Wet,
    repairs: &Repairs,
    machines: &[Machine],
    intervention: &Intervention<'_>,
) -> Vec<Exposure> {
    let here: Vec<&Machine> = machines.iter().filter(|machine| is_for(intervention.head, machine)).collect();
    let met = met(guide, wet, intervention.touches, &here);
    let exposures = met.into_iter().filter_map(|(hazard, touches)| {
        let first = touches.first()?.clone();
        let warning = intervention.warning(&hazard);
        let safety = safety(guide, repairs, intervention, &hazard, &touches);
        let Touch { part, contact, load, at, .. } = first;
        Some(Exposure { site: intervention.site.clone(), hazard, part, contact, load, at, warning, safety })
    });
    exposures.collect()
}

/// The hazards that touching parts brings out, each with every touch that does.
fn met(guide: &Guide, wet: &Wet, touches: &Touches, here: &[&Machine]) -> BTreeMap<Id<Hazard>, Vec<Touch>> {
    let mut met: BTreeMap<Id<Hazard>, Vec<Touch>> = BTreeMap::new();
    let lists =
        [(Contact::Opened, &touches.opens), (Contact::Moved, &touches.moves), (Contact::Disturbed, &touches.disturbs)];
    for (contact, links) in lists {
        for link in links {
            let Some(part) = guide.parts.get(link) else { continue };
            let machines: Vec<Machine> =
                here.iter().filter(|machine| is_for(&part.head, machine)).map(|it| (*it).clone()).collect();
            for (hazard, load) in brought_out(part, contact, wet) {
                if machines.is_empty() || guide.hazards.get(hazard).is_none() {
                    continue;
                }
                let machines = machines.clone();
                let touch = Touch { part: link.value.clone(), contact, load, at: link.span, machines };
                met.entry(hazard.value.clone()).or_default().push(touch);
            }
        }
    }
    met
}

/// The hazards of a part that a contact brings out; true stands for that of its load.
fn brought_out<'g>(part: &'g Part, contact: Contact, wet: &Wet) -> Vec<(&'g Link<Hazard>, bool)> {
    let says_disturbed = part.hazards.iter().any(|it| it.when.value == Contact::Disturbed);
    // Who takes off a part that holds fluid opens it, unless the part says what disturbing it brings.
    let opens_too = contact == Contact::Disturbed && !says_disturbed && wet.holds(&part.head.id.value);
    let own =
        part.hazards.iter().filter(|it| it.when.value == contact || (opens_too && it.when.value == Contact::Opened));
    let load = part.load.iter().filter(|_| contact != Contact::Moved).map(|load| (&load.hazard, true));
    own.map(|it| (&it.hazard, false)).chain(load).collect()
}

fn safety(
    guide: &Guide,
    repairs: &Repairs,
    intervention: &Intervention<'_>,
    hazard: &Id<Hazard>,
    touches: &[Touch],
) -> Safety {
    if !can_be_removed(guide, hazard) || intervention.makes_safe_itself(repairs, hazard) {
        return Safety::Itself;
    }
    if intervention.state.is_some_and(|state| is_safe_in(guide, state, hazard)) {
        return Safety::State;
    }
    let mut exposed: Vec<Machine> = touches.iter().flat_map(|touch| touch.machines.iter().cloned()).collect();
    exposed.sort();
    exposed.dedup();
    let removes = |link: &Link<Procedure>, machine: &Machine| removes(guide, link, hazard, machine);
    let is_unsafe = |machine: &Machine| !intervention.safe_before.iter().any(|link| removes(link, machine));
    exposed.retain(is_unsafe);
    if exposed.is_empty() {
        return Safety::Before;
    }
    let late = |link: &&&Link<Procedure>| exposed.iter().any(|machine| removes(link, machine));
    match intervention.safe_after.iter().find(late) {
        Some(link) => Safety::After(link.span),
        None => Safety::Never(exposed),
    }
}

fn can_be_removed(guide: &Guide, hazard: &Id<Hazard>) -> bool {
    let kind = guide.hazards.get(hazard).map(|hazard| hazard.kind.value);
    !matches!(kind, Some(HazardKind::Chemical | HazardKind::Sharp))
}

/// A state the guide does not have is reported elsewhere.
fn is_safe_in(guide: &Guide, state: &Id<State>, hazard: &Id<Hazard>) -> bool {
    guide.states.get(state).is_none_or(|state| state.safe_from.iter().any(|link| link.value == *hazard))
}

/// True where a procedure removes the hazard on a machine: it says so, it is there to make safe, and it holds for the
/// machine. One the guide does not have is reported elsewhere.
fn removes(guide: &Guide, link: &Link<Procedure>, hazard: &Id<Hazard>, machine: &Machine) -> bool {
    guide.procedures.get(link).is_none_or(|procedure| {
        procedure.kind.value == ProcedureKind::MakeSafe
            && procedure.makes_safe.iter().any(|made| made.value == *hazard)
            && is_for(&procedure.head, machine)
    })
}
