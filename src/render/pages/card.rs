//! The pocket card.

use super::{Draft, guide_draft};
use crate::model::{Card, CardBlock, CardSize, CardTopic, Entry, Kind, Need, Part, PartKind, Reading, Verdict};
use crate::render::place::Place;
use crate::render::views::card as view;
use crate::render::views::pieces::Shown;

pub(super) fn draft(place: Place<'_>) -> Draft {
    let (title, view) = match &place.guide.card {
        Some(card) => (card.title.value.clone(), page(place, card)),
        None => (String::new(), view::Card::default()),
    };
    let mut draft = guide_draft(place, "card.html", "card", title, &view);
    draft.sheet.kind_word = place.word("kind_card");
    draft
}

fn page(place: Place<'_>, card: &Card) -> view::Card {
    let face = |side: u32| {
        let blocks = card.blocks.iter().filter(|block| block.side.value == side);
        view::Face { title: card.title.value.clone(), blocks: blocks.map(|it| block(place, it)).collect() }
    };
    view::Card {
        size: match card.size.value {
            CardSize::A6 => view::Size::A6,
            CardSize::Index => view::Size::ThreeByFive,
            CardSize::FoldedA4 => view::Size::FoldedA4,
        },
        faces: vec![face(1), face(2)],
        code_svg_html: None,
        code_says: None,
    }
}

fn block(place: Place<'_>, block: &CardBlock) -> view::Block {
    let text = block.says.as_ref().map(|says| place.blocks(says, ""));
    let title = block.title.as_ref().map(|title| title.value.clone());
    let mut view = view::Block {
        title: title.unwrap_or_else(|| place.word(topic_word(block.topic.value))),
        text_html: text,
        ..Default::default()
    };
    match block.topic.value {
        CardTopic::Limits => view.limits = limits(place, block),
        CardTopic::Fuses => view.limits = specs(place, parts(place, block, PartKind::Fuse)),
        CardTopic::Fluids => view.limits = fluids(place, block),
        CardTopic::Torque => view.limits = torques(place, block),
        CardTopic::Hoses => view.codes = hoses(place, block),
        CardTopic::Recalibration => view.tags = tags(place),
        CardTopic::Depot => view.codes = depots(place),
        CardTopic::Cautions => view.steps_html = cautions(place),
        CardTopic::Text => {}
    }
    view
}

fn topic_word(topic: CardTopic) -> &'static str {
    match topic {
        CardTopic::Limits => "card_limits",
        CardTopic::Fuses => "fuses",
        CardTopic::Fluids => "card_fluids",
        CardTopic::Torque => "torque",
        CardTopic::Hoses => "card_hoses",
        CardTopic::Recalibration => "recalibration",
        CardTopic::Depot => "card_depot",
        CardTopic::Cautions => "before_work",
        CardTopic::Text => "card_text",
    }
}

fn limits(place: Place<'_>, block: &CardBlock) -> Vec<view::CardLimit> {
    let readings = block.readings.iter().filter_map(|link| place.guide.readings.get(&link.value));
    readings.flat_map(|reading| reading_limits(place, reading)).collect()
}

/// The limits at which a reading asks for action, each variant's own.
fn reading_limits(place: Place<'_>, reading: &Reading) -> Vec<view::CardLimit> {
    let acts = reading.bands.iter().filter(|band| band.verdict.value == Verdict::Act);
    let row = |band: &crate::model::Band| {
        let (word, edge) = match (&band.from, &band.to) {
            (Some(from), None) => ("act_from", from),
            (_, Some(to)) => ("act_below", to),
            (None, None) => return None,
        };
        let variants =
            band.variants.as_deref().map(|named| format!(" ({})", place.variants(named))).unwrap_or_default();
        let shown = place.shown(&edge.value);
        let first = format!("{} {}", place.word(word), shown.first);
        Some(view::CardLimit {
            says: format!("{}{variants}", reading.name.value),
            shown: Shown { first, second: shown.second },
        })
    };
    acts.filter_map(row).collect()
}

/// The parts a block names; all parts of a kind where it names none.
fn parts<'g>(place: Place<'g>, block: &CardBlock, kind: PartKind) -> Vec<&'g Part> {
    if block.parts.is_empty() {
        return place.guide.parts.iter().filter(|part| part.kind.value == kind).collect();
    }
    block.parts.iter().filter_map(|link| place.guide.parts.get(&link.value)).collect()
}

fn specs(place: Place<'_>, parts: Vec<&Part>) -> Vec<view::CardLimit> {
    let rows = parts.into_iter().flat_map(|part| part.specs.iter().map(move |spec| (part, spec)));
    let row = |(part, spec): (&Part, &crate::model::Spec)| {
        let mark = part.mark.as_ref().map(|mark| format!("{} ", mark.value)).unwrap_or_default();
        let shown = place.varied(&spec.values)?;
        Some(view::CardLimit { says: format!("{mark}{}", part.name.value), shown })
    };
    rows.filter_map(row).collect()
}

fn fluids(place: Place<'_>, block: &CardBlock) -> Vec<view::CardLimit> {
    let named: Vec<&Part> = if block.parts.is_empty() {
        place.guide.parts.iter().filter(|part| part.fluid.is_some()).collect()
    } else {
        block.parts.iter().filter_map(|link| place.guide.parts.get(&link.value)).collect()
    };
    let row = |part: &&Part| {
        let fluid = part.fluid.as_ref()?;
        let shown = place.varied(&fluid.capacity).unwrap_or_default();
        Some(view::CardLimit { says: format!("{}: {}", part.name.value, fluid.name.value), shown })
    };
    named.iter().filter_map(row).collect()
}

fn torques(place: Place<'_>, block: &CardBlock) -> Vec<view::CardLimit> {
    let named: Vec<&Part> = if block.parts.is_empty() {
        place.guide.parts.iter().collect()
    } else {
        block.parts.iter().filter_map(|link| place.guide.parts.get(&link.value)).collect()
    };
    let row =
        |part: &&Part| Some(view::CardLimit { says: part.name.value.clone(), shown: place.varied(&part.torque)? });
    named.iter().filter_map(row).collect()
}

fn hoses(place: Place<'_>, block: &CardBlock) -> Vec<view::CardCode> {
    let all = block.circuits.is_empty();
    let named =
        |circuit: &&crate::model::Circuit| all || block.circuits.iter().any(|link| link.as_str() == circuit.id());
    let circuits = place.guide.circuits.iter().filter(named);
    let hose = |hose: &crate::model::Hose| {
        let end = |port: &Option<crate::model::Link<crate::model::Port>>| {
            port.as_ref().map(|port| port_text(place, port.as_str())).unwrap_or_default()
        };
        let variants =
            hose.variants.as_deref().map(|named| format!(" ({})", place.variants(named))).unwrap_or_default();
        let says = format!("{}, {} → {}{variants}", hose.colour.value, end(&hose.from), end(&hose.to));
        view::CardCode { code: hose.mark.value.clone(), says }
    };
    circuits.flat_map(|circuit| &circuit.hoses).map(hose).collect()
}

fn port_text(place: Place<'_>, id: &str) -> String {
    let ports = place.guide.circuits.iter().flat_map(|circuit| &circuit.ports);
    let port = ports.into_iter().find(|port| port.id.value == id);
    let Some(port) = port else { return id.to_owned() };
    let part = place.link(Kind::Part, port.part.as_str()).text;
    let mark = port.mark.as_ref().map(|mark| format!(" {}", mark.value)).unwrap_or_default();
    format!("{part}{mark}")
}

/// Work that needs recalibration, always or sometimes; where it differs, variant by variant.
fn tags(place: Place<'_>) -> Vec<view::CardTag> {
    let rows = place.guide.procedures.iter().flat_map(|procedure| {
        procedure.recalibration.iter().filter(|tag| tag.need.value != Need::None).map(move |tag| (procedure, tag))
    });
    let row = |(procedure, tag): (&crate::model::Procedure, &crate::model::Recalibration)| {
        let mut work = place.link(Kind::Procedure, procedure.id());
        if let Some(named) = &tag.variants {
            work.text = format!("{} ({})", work.text, place.variants(named));
        }
        view::CardTag { work, tag: place.one_tag(procedure, tag) }
    };
    rows.map(row).collect()
}

fn depots(place: Place<'_>) -> Vec<view::CardCode> {
    let row = |depot: &crate::model::Depot| {
        let contact = depot.contact.as_ref().map(|contact| format!("{}, ", contact.value)).unwrap_or_default();
        let days = format!("{} {}", depot.lead_days.value, place.word("working_days"));
        view::CardCode { code: depot.name.value.clone(), says: format!("{contact}{days}") }
    };
    place.guide.depots.iter().map(row).collect()
}

/// The hazards of the machine, the gravest first, each with how to avoid it.
fn cautions(place: Place<'_>) -> Vec<String> {
    let mut hazards: Vec<&crate::model::Hazard> = place.guide.hazards.iter().collect();
    hazards.sort_by_key(|hazard| (hazard.signal.value, hazard.head.id.value.clone()));
    let line = |hazard: &&crate::model::Hazard| {
        let word = place.word(match hazard.signal.value {
            crate::model::Signal::Danger => "danger",
            crate::model::Signal::Warning => "warning",
            crate::model::Signal::Caution => "caution",
            crate::model::Signal::Notice => "notice",
        });
        let name = crate::render::markdown::escaped(&hazard.name);
        format!("<b>{}: {name}.</b> {}", crate::render::markdown::escaped(&word), place.inline(&hazard.avoid))
    };
    hazards.iter().map(line).collect()
}
