//! `fluid-opened-without-level-check`

use std::collections::BTreeSet;

use crate::inspect::{Rule, Subject};
use crate::model::quantity::Dimension;
use crate::model::{Entry, Guide, Id, Link, Part, Procedure, ProcedureKind, Reading};
use crate::reason::calls::{Role, calls};
use crate::reason::repairs::touches;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "fluid-opened-without-level-check";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "procedures",
        level: Level::Error,
        matters: "Fluid that ran out is missing, and a pump that runs short draws air.",
        page: include_str!("fluid-opened-without-level-check.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let guide = subject.guide;
    for procedure in &guide.procedures {
        // Who makes safe leaves the level to the repair that follows.
        let makes_safe = procedure.kind.value == ProcedureKind::MakeSafe;
        if makes_safe && subject.facts.repairs.because(procedure.id()).is_none() {
            continue;
        }
        let Some((step, part)) = last_opened(subject, procedure) else { continue };
        if !looks_at_level(guide, procedure, step) {
            let wrong = format!(
                "`{}` opens `{}`, which holds fluid, and nobody looks at the level afterwards.",
                procedure.id(),
                part.value
            );
            let remedy = "Add `[[check_again]]` with `reading`: a `[[reading]]` of the level, in a length, a volume or per cent.";
            found.push(Finding::new(NAME, part.span, wrong, remedy));
        }
    }
}

/// The last part with fluid that the procedure opens, or replaces, and the step it does so in.
fn last_opened<'g>(subject: &Subject<'g>, procedure: &'g Procedure) -> Option<(Option<usize>, &'g Link<Part>)> {
    let opened = touches(procedure)
        .flat_map(|(step, touches)| touches.opens.iter().chain(&touches.disturbs).map(move |link| (step, link)));
    opened.filter(|(_, link)| subject.facts.wet.holds(link.as_str())).last()
}

/// True where the level is read after the step: in a later step, in a procedure run later, or as something to check again.
fn looks_at_level(guide: &Guide, procedure: &Procedure, after: Option<usize>) -> bool {
    let mut seen = BTreeSet::from([procedure.id()]);
    let mut open = vec![(procedure, after)];
    while let Some((here, after)) = open.pop() {
        let later = |index: usize| after.is_none_or(|step| index > step);
        if looks_itself(guide, here, &later) {
            return true;
        }
        for (_, link) in calls(here).filter(|(role, _)| comes_later(*role, &later)) {
            match guide.procedures.get(link) {
                None => return true,
                Some(called) if seen.insert(called.id()) => open.push((called, None)),
                Some(_) => {}
            }
        }
    }
    false
}

/// The same, without the procedures it sends to.
fn looks_itself(guide: &Guide, procedure: &Procedure, later: &impl Fn(usize) -> bool) -> bool {
    let again = procedure.check_again.iter().any(|again| {
        again.reading.as_ref().is_some_and(|reading| is_level(guide, reading))
            || again.check.as_ref().is_some_and(|(fault, check)| {
                let checks = guide.faults.get(fault).map(|fault| fault.checks.as_slice()).unwrap_or_default();
                let named = checks.iter().filter(|known| check.as_ref().is_none_or(|it| it.as_str() == known.id.value));
                named.filter_map(|check| check.reading.as_ref()).any(|reading| is_level(guide, reading))
            })
    });
    let steps = procedure.steps.iter().enumerate().filter(|(index, _)| later(*index));
    let mut read = steps.filter_map(|(_, step)| step.reading.as_ref());
    again || read.any(|reading| is_level(guide, reading))
}

fn comes_later(role: Role, later: &impl Fn(usize) -> bool) -> bool {
    match role {
        Role::Step(index) => later(index),
        Role::CheckAgain | Role::FunctionTest => true,
        Role::MakeSafe => false,
    }
}

/// True for readings of a length, a volume or a share that are not how much air is in the lines. One the guide does not
/// have is reported elsewhere.
fn is_level(guide: &Guide, reading: &Id<Reading>) -> bool {
    guide.readings.get(reading).is_none_or(|known| {
        let dimension =
            matches!(known.unit.value.dimension(), Dimension::Length | Dimension::Volume | Dimension::Ratio);
        dimension && !is_air(guide, reading)
    })
}

fn is_air(guide: &Guide, reading: &Id<Reading>) -> bool {
    let limits: Vec<&Link<Reading>> =
        guide.circuits.iter().filter_map(|circuit| circuit.air.as_ref()?.reading.as_ref()).collect();
    let own = |id: &str| limits.iter().any(|link| link.as_str() == id);
    let total_of_air = guide
        .readings
        .iter()
        .any(|known| own(known.id()) && known.sum.as_ref().is_some_and(|sum| sum.total.value == *reading));
    own(reading.as_str()) || total_of_air
}
