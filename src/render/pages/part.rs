//! Part pages.

use super::{Draft, entry_draft, kind_word};
use crate::model::{Entry, Kind, Part, PartKind, RecalibrationNeed};
use crate::render::markdown::escaped;
use crate::render::place::Place;
use crate::render::views::part as view;
use crate::render::views::pieces::{Caution, Tag, Torque};

pub(super) fn draft<'g>(place: Place<'g>, part: &'g Part) -> Draft {
    entry_draft(place, part, "part", kind_word(place, Kind::Part), &page(place, part))
}

/// The interface word for a group of parts.
pub(super) fn group_word(kind: PartKind) -> &'static str {
    match kind {
        PartKind::PumpUnit => "parts_pump_unit",
        PartKind::HandPump => "parts_hand_pump",
        PartKind::Cylinder => "parts_cylinder",
        PartKind::Hose => "parts_hose",
        PartKind::ValveBlock | PartKind::Valve => "parts_valve",
        PartKind::Reservoir => "parts_reservoir",
        PartKind::ControlUnit => "parts_control_unit",
        PartKind::Switch => "parts_switch",
        PartKind::Sensor => "parts_sensor",
        PartKind::Relay => "parts_relay",
        PartKind::Motor => "parts_motor",
        PartKind::Latch => "parts_latch",
        PartKind::Fuse => "parts_fuse",
        PartKind::Connector | PartKind::Cable => "parts_cable",
        PartKind::Battery => "parts_battery",
        PartKind::Structure => "parts_structure",
        PartKind::Seal => "parts_seal",
        PartKind::Fluid => "parts_fluid",
        PartKind::Other => "parts_other",
    }
}

fn page(place: Place<'_>, part: &Part) -> view::Part {
    let seals = part.single_use_seals.iter().filter_map(|link| place.guide.parts.get(&link.value));
    view::Part {
        kind: place.word(group_word(part.kind.value)),
        location_html: escaped(&part.location),
        about_html: part.says.as_ref().map(|says| place.blocks(says, "about")),
        mark: part.mark.as_ref().map(|mark| mark.value.clone()),
        number: part.number.as_ref().map(|number| number.value.clone()),
        supersedes: part.supersedes.iter().map(|number| number.value.clone()).collect(),
        picture: place.picture(part.picture.as_ref()),
        look_alikes: look_alikes(place, part),
        cautions: cautions(place, part),
        tag: tag(place, &part.recalibrate_if_disturbed),
        seals: seals.map(numbered).collect(),
        fluid: part.fluid.as_ref().map(|fluid| view::Fluid {
            name: fluid.name.value.clone(),
            capacity: place.varied(&fluid.capacity),
            never_mix: fluid.not_with.iter().map(|other| other.value.clone()).collect(),
            source: place.source(fluid.source.as_ref()),
        }),
        torques: values(place, part),
        faults: place.mentioned_by(Kind::Part, part.id(), &[Kind::Fault]),
        procedures: procedures(place, part),
        seen_in: place.mentioned_by(
            Kind::Part,
            part.id(),
            &[Kind::Circuit, Kind::WiringPath, Kind::Sequence, Kind::Part, Kind::Note, Kind::Bulletin],
        ),
        bulletins: place.bulletins(&part.head),
        sources: sources(place, part),
    }
}

fn numbered(part: &Part) -> String {
    match &part.number {
        Some(number) => format!("{}, {}", part.name.value, number.value),
        None => part.name.value.clone(),
    }
}

fn look_alikes(place: Place<'_>, part: &Part) -> Vec<view::LookAlike> {
    let look_alike = |other: &crate::model::LookAlike| view::LookAlike {
        link: place.part(&other.part),
        told_apart: other.because.as_ref().map(|because| because.value.clone()).unwrap_or_default(),
    };
    part.not_interchangeable_with.iter().map(look_alike).collect()
}

fn cautions(place: Place<'_>, part: &Part) -> Vec<Caution> {
    let load = part.load.iter().map(|load| &load.hazard);
    let hazards = part.hazards.iter().map(|hazard| &hazard.hazard).chain(load);
    let mut cautions: Vec<Caution> = Vec::new();
    for hazard in hazards.filter_map(|link| place.guide.hazards.get(&link.value)) {
        let caution = place.hazard(hazard);
        if !cautions.iter().any(|known| known.hazard == caution.hazard) {
            cautions.push(caution);
        }
    }
    cautions.sort_by_key(|caution| caution.signal);
    cautions
}

fn tag(place: Place<'_>, needs: &[RecalibrationNeed]) -> Option<Tag> {
    let greatest = needs.iter().max_by_key(|need| need.need.value)?;
    Some(Tag {
        need: crate::render::place::need_of(greatest.need.value),
        word: place.need_word(greatest.need.value),
        when: greatest.when.as_ref().map(|when| when.value.clone()),
        because: greatest.because.value.clone(),
        chain: Vec::new(),
        depots: greatest.by.iter().map(|depot| place.depot(depot)).collect(),
        meanwhile: greatest.by.iter().filter_map(|depot| place.meanwhile(depot)).collect(),
        source: place.source(greatest.source.as_ref()),
        href: place.href("recalibration.html"),
    })
}

/// Torque and further values, each with its source.
fn values(place: Place<'_>, part: &Part) -> Vec<Torque> {
    let torque = (place.word("torque"), &part.torque);
    let specs = part.specs.iter().map(|spec| (spec.name.value.clone(), &spec.values));
    let values = [torque].into_iter().chain(specs);
    let row = |(name, values): (String, &crate::model::Varied<_>)| {
        let source = values.first().and_then(|value| place.source(value.source.as_ref()));
        Some(Torque { place: name, shown: place.varied(values)?, source })
    };
    values.filter_map(row).collect()
}

fn procedures(place: Place<'_>, part: &Part) -> Vec<crate::render::views::pieces::Repair> {
    let mentions = place.facts.mentions.of_thing(Kind::Part, part.id());
    let mut ids: Vec<&str> =
        mentions.filter(|(entry, _)| entry.kind == Kind::Procedure).map(|(entry, _)| entry.id.as_str()).collect();
    ids.dedup();
    let procedures = ids.into_iter().filter_map(|id| place.guide.procedures.find(id));
    let repair = |procedure: &crate::model::Procedure| crate::render::views::pieces::Repair {
        link: place.link(Kind::Procedure, procedure.id()),
        tag: place.tag(procedure),
    };
    procedures.map(repair).collect()
}

fn sources(place: Place<'_>, part: &Part) -> Vec<crate::render::views::pieces::Source> {
    let specs = part.specs.iter().flat_map(|spec| &spec.values);
    let values = part.torque.iter().chain(specs).map(|value| value.source.as_ref());
    let load = part.load.iter().flat_map(|load| &load.mass).map(|mass| mass.source.as_ref());
    place.sources(values.chain(load))
}
