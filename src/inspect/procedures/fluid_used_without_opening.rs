//! `fluid-used-without-opening`

use std::collections::{BTreeMap, BTreeSet};

use crate::inspect::spoken::{Words, moves_fluid, sentences};
use crate::inspect::wording::listed;
use crate::inspect::{Rule, Subject};
use crate::model::{Contact, Entry, Guide, Hazard, Id, Link, Part, PartKind, Procedure};
use crate::report::{Finding, Level, RuleInfo};
use crate::text::Span;

const NAME: &str = "fluid-used-without-opening";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "procedures",
        level: Level::Warning,
        matters: "Fluid goes into a circuit only where the circuit is open: somebody opens it without a caution and with the pressure on.",
        page: include_str!("fluid-used-without-opening.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let fluids = subject.guide.parts.iter().filter(|part| part.kind.value == PartKind::Fluid);
    let fluids: Vec<(&str, Vec<Words>)> = fluids.map(|part| (part.id(), names(part))).collect();
    for procedure in &subject.guide.procedures {
        for (fluid, span) in handled(&fluids, procedure) {
            let holders = holders(subject.guide, fluid);
            let hazards = unguarded(subject.guide, procedure, &holders);
            if hazards.is_empty() || touches_any(subject, procedure) {
                continue;
            }
            let id = procedure.id();
            let wrong = format!(
                "`{id}` works with the fluid `{fluid}`, but opens no part that holds it; no caution speaks of {} either.",
                listed(hazards.iter().map(|hazard| hazard.as_str()))
            );
            let remedy = format!(
                "Add the part that the fluid goes into or comes out of to `opens` of `{id}` (one of {}), then the cautions \
                 and `make_safe` that are asked for.",
                listed(holders.iter().map(|part| part.id()).take(4))
            );
            found.push(Finding::new(NAME, span, wrong, remedy));
        }
    }
}

/// The fluids that a procedure uses up, or that a step draws off or pours in by name; each once.
fn handled<'g>(fluids: &[(&'g str, Vec<Words>)], procedure: &'g Procedure) -> BTreeMap<&'g str, Span> {
    let used = procedure.consumables.iter().filter_map(|consumable| consumable.part.as_ref());
    let mut handled: BTreeMap<&str, Span> = BTreeMap::new();
    for fluid in used {
        handled.entry(fluid.as_str()).or_insert(fluid.span);
    }
    for action in procedure.steps.iter().filter_map(|step| step.action.as_ref()) {
        let sentences = sentences(&action.markdown);
        for (fluid, _) in fluids.iter().filter(|(_, names)| names.iter().any(|name| moves_fluid(&sentences, name))) {
            handled.entry(fluid).or_insert(action.span);
        }
    }
    handled
}

fn names(fluid: &Part) -> Vec<Words> {
    let marks = fluid.mark.iter().map(|mark| mark.value.as_str());
    let names = std::iter::once(fluid.name.value.as_str()).chain(marks).map(Words::of);
    names.filter(|name| !name.is_empty()).collect()
}

/// The parts that hold a fluid and are dangerous to open.
fn holders<'g>(guide: &'g Guide, fluid: &str) -> Vec<&'g Part> {
    let is_fluid = |link: &Link<Part>| link.as_str() == fluid;
    let circuits = guide.circuits.iter().filter(|circuit| circuit.fluid.as_ref().is_some_and(is_fluid));
    let tanks: BTreeSet<&str> = circuits.filter_map(|it| it.reservoir.as_ref()).map(|link| link.as_str()).collect();
    let holds = |part: &&Part| {
        let own = part.fluid.as_ref().and_then(|own| own.part.as_ref()).is_some_and(is_fluid);
        (own || tanks.contains(part.id())) && opened_hazards(part).next().is_some()
    };
    guide.parts.iter().filter(holds).collect()
}

fn opened_hazards(part: &Part) -> impl Iterator<Item = &Id<Hazard>> {
    part.hazards.iter().filter(|it| it.when.value == Contact::Opened).map(|it| &it.hazard.value)
}

/// What opening the holders brings out; nothing where a caution of the procedure speaks of all that one of them does.
fn unguarded<'g>(guide: &'g Guide, procedure: &'g Procedure, holders: &[&'g Part]) -> BTreeSet<&'g Id<Hazard>> {
    let steps = procedure.steps.iter().flat_map(|step| &step.cautions);
    let cautions: Vec<_> = guide.cautions.iter().chain(&procedure.cautions).chain(steps).collect();
    let warned = |hazard: &Id<Hazard>| cautions.iter().any(|caution| caution.covers(hazard));
    if holders.iter().any(|part| opened_hazards(part).all(warned)) {
        return BTreeSet::new();
    }
    let hazards = holders.iter().flat_map(|part| opened_hazards(part));
    hazards.filter(|hazard| guide.hazards.get(hazard).is_some()).collect()
}

/// True where the procedure, or one that it runs, opens or disturbs a part that holds fluid.
fn touches_any(subject: &Subject<'_>, procedure: &Procedure) -> bool {
    let runs = procedure.steps.iter().filter_map(|step| subject.guide.procedures.get(step.run.as_ref()?));
    std::iter::once(procedure).chain(runs).any(|one| {
        let touches = one.steps.iter().map(|step| &step.touches).chain([&one.touches]);
        let mut opened = touches.flat_map(|touches| touches.opens.iter().chain(&touches.disturbs));
        opened.any(|part| subject.facts.wet.holds(part.as_str()))
    })
}
