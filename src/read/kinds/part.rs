//! `parts/*.toml`

use std::collections::BTreeMap;

use crate::model::quantity::Dimension;
use crate::model::{
    Contact, Fluid, Guide, Id, Kind, Load, LookAlike, Part, PartHazard, PartKind, ProseRole, RecalibrationNeed, Spec,
    Varied,
};
use crate::read::record::Record;
use crate::read::shared::NEEDS;

const KINDS: [(&str, PartKind); 21] = [
    ("pump-unit", PartKind::PumpUnit),
    ("hand-pump", PartKind::HandPump),
    ("cylinder", PartKind::Cylinder),
    ("hose", PartKind::Hose),
    ("valve-block", PartKind::ValveBlock),
    ("valve", PartKind::Valve),
    ("reservoir", PartKind::Reservoir),
    ("control-unit", PartKind::ControlUnit),
    ("switch", PartKind::Switch),
    ("sensor", PartKind::Sensor),
    ("relay", PartKind::Relay),
    ("motor", PartKind::Motor),
    ("latch", PartKind::Latch),
    ("fuse", PartKind::Fuse),
    ("connector", PartKind::Connector),
    ("cable", PartKind::Cable),
    ("battery", PartKind::Battery),
    ("structure", PartKind::Structure),
    ("seal", PartKind::Seal),
    ("fluid", PartKind::Fluid),
    ("other", PartKind::Other),
];

const CONTACTS: [(&str, Contact); 3] =
    [("opened", Contact::Opened), ("moved", Contact::Moved), ("disturbed", Contact::Disturbed)];

/// Every `[[part]]` of a file.
pub(in crate::read) fn file(record: &mut Record<'_, '_>, guide: &mut Guide) {
    for part in record.entries("part", part) {
        guide.parts.insert(Id::new(part.head.id.value.as_str()), part);
    }
}

fn part(record: &mut Record<'_, '_>) -> Option<Part> {
    let head = record.head(Kind::Part);
    let name = record.line("name", ProseRole::Text, "what a technician calls it");
    let kind = record.one_of("kind", &KINDS);
    let location = record.line("location", ProseRole::Text, "where to find it on the machine");
    let part = Part {
        mark: record.word_opt("mark"),
        number: record.word_opt("number"),
        supersedes: record.words("supersedes"),
        single_use_seals: record.links("single_use_seals", Kind::Part),
        picture: record.picture(),
        not_interchangeable_with: record.children("not_interchangeable_with", look_alike),
        recalibrate_if_disturbed: recalibration_needs(record),
        hazards: record.children("hazards", part_hazard),
        load: record.child("load", load),
        fluid: record.child("fluid", fluid),
        torque: record.varied("torque", Dimension::Torque),
        specs: specs(record),
        costly: record.flag("costly"),
        says: record.prose_opt("says", ProseRole::Text),
        head: head?,
        name: name?,
        kind: kind?,
        location: location?,
    };
    Some(part)
}

fn look_alike(record: &mut Record<'_, '_>) -> Option<LookAlike> {
    let part = record.link("part", Kind::Part, "the part it looks like");
    let because = record.line_opt("because", ProseRole::Text);
    Some(LookAlike { part: part?, because })
}

fn recalibration_needs(record: &mut Record<'_, '_>) -> Vec<RecalibrationNeed> {
    let (needs, complained) = record.watched(|record| record.children("recalibrate_if_disturbed", recalibration_need));
    if let Some(first) = needs.first().filter(|_| !complained && record.ledger.damage.is_empty()) {
        let variants = needs.iter().map(|need| need.variants.clone()).collect();
        record.ledger.varies(record.owner.clone(), "recalibrate_if_disturbed", variants, first.span);
    }
    needs
}

fn recalibration_need(record: &mut Record<'_, '_>) -> Option<RecalibrationNeed> {
    let need = record.one_of("need", &NEEDS);
    let when = record.condition(need.as_ref());
    let because = record.line("because", ProseRole::Text, "why the control unit loses its setting");
    let by = record.links("by", Kind::Depot);
    let span = need.as_ref().map_or(record.header, |need| need.span);
    let source = record.source_of("recalibrate_if_disturbed", span);
    let variants = record.variants("variants");
    Some(RecalibrationNeed { need: need?, when, because: because?, by, source, variants, span: record.span })
}

fn part_hazard(record: &mut Record<'_, '_>) -> Option<PartHazard> {
    let when = record.one_of("when", &CONTACTS);
    let hazard = record.link("hazard", Kind::Hazard, "the hazard it brings out");
    Some(PartHazard { when: when?, hazard: hazard? })
}

fn load(record: &mut Record<'_, '_>) -> Option<Load> {
    let says = record.line("says", ProseRole::Text, "what the part holds up, shut or back");
    let mass = record.varied("mass", Dimension::Mass);
    let hazard = record.link("hazard", Kind::Hazard, "the hazard when the load is let go");
    Some(Load { says: says?, mass, hazard: hazard? })
}

fn fluid(record: &mut Record<'_, '_>) -> Option<Fluid> {
    let name = record.line("name", ProseRole::Text, "the type of fluid");
    let part = record.link_opt("part", Kind::Part);
    let capacity = record.varied_covered("capacity", Dimension::Volume);
    let not_with = record.words("not_with");
    let span = name.as_ref().map_or(record.header, |name| name.span);
    let source = record.source_of("fluid", span);
    Some(Fluid { name: name?, part, capacity, not_with, source, span: record.span })
}

fn specs(record: &mut Record<'_, '_>) -> Vec<Spec> {
    let mut specs: Vec<Spec> = Vec::new();
    let (values, complained) = record.watched(|record| {
        record.children("spec", |record| {
            let name = record.line("name", ProseRole::Text, "what the value is");
            let value = record.own_value("spec");
            Some((name?, value?))
        })
    });
    let mut places = BTreeMap::new();
    for (name, value) in values {
        let place = *places.entry(name.value.clone()).or_insert(specs.len());
        match specs.get_mut(place) {
            Some(spec) => spec.values.push(value),
            None => specs.push(Spec { name, values: Varied::from([value]) }),
        }
    }
    let hurt = !record.ledger.damage.is_empty();
    for spec in specs.iter().filter(|_| !complained && !hurt) {
        record.note_variants("spec", &spec.values, spec.name.span);
    }
    specs
}
