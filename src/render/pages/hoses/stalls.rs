//! Where a circuit stops doing its work: what is seen, what could cause it, which complaints cover that.

use std::collections::BTreeSet;

use super::on_machines::OnMachines;
use crate::model::{Circuit, Id, Kind, Part};
use crate::reason::hydraulics::{Stall, StallFacts, stalls};
use crate::render::place::Place;
use crate::render::views::hoses as view;

/// What is seen on any machine, and every suspect once with the complaints that cover it.
pub(super) fn rows(place: Place<'_>, circuit: &Circuit) -> (Vec<view::Stall>, Vec<view::Suspect>) {
    let on = OnMachines::of(place, circuit);
    let mut found: Vec<StallFacts> = Vec::new();
    for stall in on.all.iter().flat_map(|machine| stalls(place.guide, circuit, machine)) {
        match found.iter_mut().find(|known| known.stall == stall.stall && known.actuator == stall.actuator) {
            Some(known) => {
                let new: Vec<_> = stall.suspects.into_iter().filter(|part| !known.suspects.contains(part)).collect();
                known.suspects.extend(new);
            }
            None => found.push(stall),
        }
    }
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
