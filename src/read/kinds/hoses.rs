//! `hoses/*.toml`

use crate::model::quantity::Dimension;
use crate::model::{
    Actuator, AirLimits, Circuit, Guide, Hose, Id, Kind, LevelMarks, Motion, Passage, PassageKind, Port, ProseRole,
    Pump, Rods, Side,
};
use crate::read::record::Record;

const SIDES: [(&str, Side); 5] = [
    ("cap", Side::Cap),
    ("rod", Side::Rod),
    ("pressure", Side::Pressure),
    ("return", Side::Return),
    ("tank", Side::Tank),
];

const PASSAGES: [(&str, PassageKind); 6] = [
    ("open", PassageKind::Open),
    ("check", PassageKind::Check),
    ("pilot-check", PassageKind::PilotCheck),
    ("relief", PassageKind::Relief),
    ("restrictor", PassageKind::Restrictor),
    ("hand-valve", PassageKind::HandValve),
];

const LOADS: [(&str, &str); 3] = [("pushes in", "pushes in"), ("pulls out", "pulls out"), ("none", "none")];

const MOTIONS: [(&str, Motion); 2] = [("extends", Motion::Extends), ("retracts", Motion::Retracts)];

const RODS: [(&str, Rods); 2] = [("rods in", Rods::In), ("rods out", Rods::Out)];

/// The one circuit of a file.
pub(in crate::read) fn file(record: &mut Record<'_, '_>, guide: &mut Guide) {
    if let Some(circuit) = record.single("circuit", circuit) {
        guide.circuits.insert(Id::new(circuit.head.id.value.as_str()), circuit);
    }
}

fn circuit(top: &mut Record<'_, '_>) -> Option<Circuit> {
    let main = top.child("circuit", |record| {
        let head = record.head(Kind::Circuit);
        let name = record.line("name", ProseRole::Text, "what the circuit is called");
        let says = record.prose_opt("says", ProseRole::Text);
        let fluid = record.link_opt("fluid", Kind::Part);
        let reservoir = record.link_opt("reservoir", Kind::Part);
        Some((head?, name?, says, fluid, reservoir))
    });
    let owner = main.as_ref().map(|(head, ..)| head.id.clone());
    top.adopt(Kind::Circuit, owner.as_ref());
    let pumps = top.children("pump", pump);
    let actuators = top.children("actuator", actuator);
    let ports = top.children("port", port);
    let passages = top.children("passage", passage);
    let hoses = top.children("hose", hose);
    let air = top.child("air", air);
    let level = top.child("level", level);
    let (mut head, name, says, fluid, reservoir) = main?;
    head.span = top.span;
    Some(Circuit { head, name, says, fluid, reservoir, pumps, actuators, ports, passages, hoses, air, level })
}

fn pump(record: &mut Record<'_, '_>) -> Option<Pump> {
    let id = record.global_id(Kind::Pump);
    let part = record.link("part", Kind::Part, "the pump unit it is");
    let forward = record.link("forward", Kind::Port, "the port under pressure while it runs forward");
    let pump = Pump {
        reverse: record.link_opt("reverse", Kind::Port),
        forward_says: record.line_opt("forward_says", ProseRole::Text),
        reverse_says: record.line_opt("reverse_says", ProseRole::Text),
        forward_does: record.one_of_opt("forward_does", &MOTIONS),
        reverse_does: record.one_of_opt("reverse_does", &MOTIONS),
        flow: record.varied("flow", Dimension::FlowRate),
        pressure: record.varied("pressure", Dimension::GaugePressure),
        span: record.span,
        id: id?,
        part: part?,
        forward: forward?,
    };
    Some(pump)
}

fn actuator(record: &mut Record<'_, '_>) -> Option<Actuator> {
    let id = record.global_id(Kind::Actuator);
    let part = record.link("part", Kind::Part, "the cylinder it is");
    let name = record.line("name", ProseRole::Text, "what a technician calls it");
    let cap = record.link("cap", Kind::Port, "the port on the side that pushes the rod out");
    let actuator = Actuator {
        rod: record.link_opt("rod", Kind::Port),
        bore: record.varied("bore", Dimension::Length),
        rod_diameter: record.varied("rod_diameter", Dimension::Length),
        stroke: record.varied("stroke", Dimension::Length),
        load: record.one_of_opt("load", &LOADS).map(|load| load.map(str::to_owned)),
        load_force: record.varied("load_force", Dimension::Force),
        extends_says: record.line_opt("extends_says", ProseRole::Text),
        retracts_says: record.line_opt("retracts_says", ProseRole::Text),
        span: record.span,
        id: id?,
        part: part?,
        name: name?,
        cap: cap?,
    };
    Some(actuator)
}

fn port(record: &mut Record<'_, '_>) -> Option<Port> {
    let id = record.global_id(Kind::Port);
    let part = record.link("part", Kind::Part, "the part it belongs to");
    let mark = record.word_opt("mark");
    let takes = record.words("takes");
    let fitting = record.word("fitting", "its thread or coupling, such as \"M10x1\"");
    let side = record.one_of_opt("side", &SIDES);
    let reach = record.word_opt("reach");
    Some(Port { id: id?, part: part?, mark, takes, fitting: fitting?, side, reach, span: record.span })
}

fn passage(record: &mut Record<'_, '_>) -> Option<Passage> {
    let id = record.global_id(Kind::Passage);
    let part = record.link("part", Kind::Part, "the part it runs through");
    let kind = record.one_of("kind", &PASSAGES);
    let from = record.link("from", Kind::Port, "the port it starts at");
    let to = record.link("to", Kind::Port, "the port it ends at");
    let passage = Passage {
        pilot: record.link_opt("pilot", Kind::Port),
        opens_at: record.varied("opens_at", Dimension::GaugePressure),
        span: record.span,
        id: id?,
        part: part?,
        kind: kind?,
        from: from?,
        to: to?,
    };
    Some(passage)
}

fn hose(record: &mut Record<'_, '_>) -> Option<Hose> {
    let id = record.global_id(Kind::Hose);
    let mark = record.word("mark", "what is written on the hose");
    let colour = record.word("colour", "the colour of the hose or of its sleeve");
    let fitting = record.word("fitting", "the fitting on both ends, such as \"M10x1\"");
    let from = record.link_opt("from", Kind::Port);
    let to = record.link_opt("to", Kind::Port);
    let span = mark.as_ref().map_or(record.header, |mark| mark.span);
    let hose = Hose {
        bore: record.varied_covered("bore", Dimension::Length),
        length: record.varied_covered("length", Dimension::Length),
        pair: record.link_opt("pair", Kind::Hose),
        part: record.link_opt("part", Kind::Part),
        source: record.source_of("hose", span),
        variants: record.variants("variants"),
        span: record.span,
        from,
        to,
        id: id?,
        mark: mark?,
        colour: colour?,
        fitting: fitting?,
    };
    Some(hose)
}

fn air(record: &mut Record<'_, '_>) -> Option<AirLimits> {
    Some(AirLimits {
        per_line: record.varied("per_line", Dimension::Length),
        in_all: record.varied("in_all", Dimension::Length),
        reading: record.link_opt("reading", Kind::Reading),
        span: record.span,
    })
}

fn level(record: &mut Record<'_, '_>) -> Option<LevelMarks> {
    Some(LevelMarks {
        between: record.varied("between_marks", Dimension::Volume),
        surface: record.varied("surface", Dimension::Area),
        falls: record.varied("falls", Dimension::Length),
        upper: record.one_of_opt("upper", &RODS),
        lower: record.one_of_opt("lower", &RODS),
        reading: record.link_opt("reading", Kind::Reading),
        span: record.span,
    })
}
