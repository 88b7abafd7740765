//! Where a circuit stops doing its work: what is seen, what could cause it, which complaints cover that.

use std::collections::BTreeSet;

use crate::model::{Circuit, Id, Kind, Part};
use crate::reason::hydraulics::{Stall, StallFacts, stalls};
use crate::reason::machines_of;
use crate::render::place::Place;
use crate::render::views::hoses as view;

/// What is seen, and every suspect once with the complaints that cover it.
pub(super) fn rows(place: Place<'_>, circuit: &Circuit) -> (Vec<view::Stall>, Vec<view::Suspect>) {
    let machine = machines_of(place.guide, &circuit.head).into_iter().next();
    let facts = machine.and_then(|machine| place.facts.hydraulics.on(&machine));
    let found = facts.map(|facts| stalls(place.guide, circuit, facts)).unwrap_or_default();
    let parts: BTreeSet<&Id<Part>> = found.iter().flat_map(|stall| &stall.suspects).collect();
    let suspect = |part: &Id<Part>| view::Suspect {
        part: place.link(Kind::Part, part.as_str()),
        faults: place.facts.coverage.faults_of(part).map(|fault| place.link(Kind::Fault, fault.as_str())).collect(),
    };
    (found.iter().map(|stall| row(place, circuit, stall)).collect(), parts.into_iter().map(suspect).collect())
}

fn row(place: Place<'_>, circuit: &Circuit, stall: &StallFacts) -> view::Stall {
    let seen = place.word(match stall.stall {
        Stall::Slow => "stall_slow",
        Stall::OneOnly => "stall_one_only",
        Stall::DoesNotHold => "stall_does_not_hold",
    });
    let at = stall.actuator.as_ref().and_then(|id| circuit.actuators.iter().find(|it| it.id.value == id.as_str()));
    view::Stall {
        seen: at.map_or(seen.clone(), |actuator| format!("{}: {seen}", actuator.name.value)),
        suspects: stall.suspects.iter().map(|part| place.link(Kind::Part, part.as_str())).collect(),
    }
}
