//! The pocket card.

use super::{Draft, guide_draft};
use crate::model::{Card, CardBlock, CardSize, CardTopic, Entry, Kind, Need, Part, PartKind, Reading, Verdict};
use crate::reason::recalibration::disturbed_on_the_way;
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
    crate::render::views::frame::POLICY_WITH_TYPE.clone_into(&mut draft.sheet.policy);
    draft
}

/// The card as it is printed.
pub(in crate::render) fn page(place: Place<'_>, card: &Card) -> view::Card {
    let face = |side: u32| {
        let blocks = card.blocks.iter().filter(|block| block.side.value == side);
        view::Face {
            title: card.title.value.clone(),
            blocks: blocks.map(|it| block(place, it)).collect(),
            foot_html: foot(place, side == 1),
        }
    };
    view::Card {
        size: match card.size.value {
            CardSize::A6 => view::Size::A6,
            CardSize::Index => view::Size::ThreeByFive,
            CardSize::FoldedA4 => view::Size::FoldedA4,
        },
        faces: vec![face(1), face(2)],
    }
}

/// Which edition this is, so that an old card is recognised; on the front also who may work.
fn foot(place: Place<'_>, front: bool) -> String {
    let edition = &place.guide.edition;
    let escaped = crate::render::markdown::escaped;
    let mut foot = format!(
        "<p><b>{}</b> · {} {} · <time datetime=\"{date}\">{date}</time>",
        escaped(&edition.title),
        escaped(&place.word("edition")),
        escaped(&edition.number),
        date = edition.date.value
    );
    if edition.invented.is_some() {
        foot.push_str(&format!(" · <b>{}</b>", escaped(&place.word("invented_mark"))));
    }
    foot.push_str("</p>");
    if front {
        foot.push_str(&crate::render::standing(place, edition.standing.as_ref()));
    }
    foot
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
        CardTopic::Limits => view.rows = limits(place, block),
        CardTopic::Fuses => view.rows = specs(place, parts(place, block, PartKind::Fuse)),
        CardTopic::Fluids => view.rows = fluids(place, block),
        CardTopic::Torque => view.rows = torques(place, block),
        CardTopic::Hoses => view.items = hoses(place, block),
        CardTopic::Recalibration => view.tags = tags(place, block),
        CardTopic::Depot => view.items = depots(place),
        CardTopic::Cautions => view.steps_html = cautions(place),
        CardTopic::Code => view.codes = codes(place, block),
        CardTopic::Text => {}
    }
    view
}

/// Codes for the pages a block names; for the front page, with its search, where it names none. Without an address
/// there is nothing to lead to.
fn codes(place: Place<'_>, block: &CardBlock) -> Vec<view::Code> {
    let Some(base) = &place.guide.edition.base_address else { return Vec::new() };
    let faults = block.faults.iter().map(|link| (Kind::Fault, link.as_str()));
    let procedures = block.procedures.iter().map(|link| (Kind::Procedure, link.as_str()));
    let readings = block.readings.iter().map(|link| (Kind::Reading, link.as_str()));
    let parts = block.parts.iter().map(|link| (Kind::Part, link.as_str()));
    let mut pages: Vec<(String, String)> = faults
        .chain(procedures)
        .chain(readings)
        .chain(parts)
        .map(|(kind, id)| place.link(kind, id))
        .map(|link| (link.href, link.text))
        .collect();
    if pages.is_empty() {
        pages.push((String::new(), place.word("card_code")));
    }
    let code = |(page, says): (String, String)| {
        let address = format!("{}{page}", base.value);
        let svg_html = crate::render::card::qr::svg(&address, &says)?;
        let escaped = crate::render::markdown::escaped;
        let says_html = format!("<p><b>{}</b></p><p>{}</p>", escaped(&says), escaped(&address));
        Some(view::Code { svg_html, says_html })
    };
    pages.into_iter().filter_map(code).collect()
}

/// Both systems of units in a row, as text.
fn value(shown: &Shown) -> String {
    match &shown.second {
        Some(second) => format!("{} ({second})", shown.first),
        None => shown.first.clone(),
    }
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
        CardTopic::Code => "card_codes",
        CardTopic::Text => "card_text",
    }
}

fn limits(place: Place<'_>, block: &CardBlock) -> Vec<view::Row> {
    let readings = block.readings.iter().filter_map(|link| place.guide.readings.get(&link.value));
    readings.flat_map(|reading| reading_limits(place, reading)).collect()
}

/// The limits at which a reading asks for action, each variant's own, with the state that they hold for.
fn reading_limits(place: Place<'_>, reading: &Reading) -> Vec<view::Row> {
    let acts = reading.bands.iter().filter(|band| band.verdict.value == Verdict::Act);
    let state = place.state(reading.state.as_ref());
    let row = |band: &crate::model::Band| {
        let (word, edge) = match (&band.from, &band.to) {
            (Some(from), None) => ("act_from", from),
            (_, Some(to)) => ("act_below", to),
            (None, None) => return None,
        };
        let variants = band.variants.as_deref().map(|named| place.variants(named));
        let holds_for: String = [&variants, &state].into_iter().flatten().map(|it| format!(" ({it})")).collect();
        let shown = place.shown(&edge.value);
        let first = format!("{} {}", place.word(word), shown.first);
        Some(view::Row {
            says: format!("{}{holds_for}", reading.name.value),
            value: value(&Shown { first, second: shown.second }),
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

fn specs(place: Place<'_>, parts: Vec<&Part>) -> Vec<view::Row> {
    let rows = parts.into_iter().flat_map(|part| part.specs.iter().map(move |spec| (part, spec)));
    let row = |(part, spec): (&Part, &crate::model::Spec)| {
        let mark = part.mark.as_ref().map(|mark| format!("{} ", mark.value)).unwrap_or_default();
        let shown = place.varied(&spec.values)?;
        Some(view::Row { says: format!("{mark}{}", part.name.value), value: value(&shown) })
    };
    rows.filter_map(row).collect()
}

fn fluids(place: Place<'_>, block: &CardBlock) -> Vec<view::Row> {
    let named: Vec<&Part> = if block.parts.is_empty() {
        place.guide.parts.iter().filter(|part| part.fluid.is_some()).collect()
    } else {
        block.parts.iter().filter_map(|link| place.guide.parts.get(&link.value)).collect()
    };
    let row = |part: &&Part| {
        let fluid = part.fluid.as_ref()?;
        let shown = place.varied(&fluid.capacity).unwrap_or_default();
        Some(view::Row { says: format!("{}: {}", part.name.value, fluid.name.value), value: value(&shown) })
    };
    named.iter().filter_map(row).collect()
}

fn torques(place: Place<'_>, block: &CardBlock) -> Vec<view::Row> {
    let named: Vec<&Part> = if block.parts.is_empty() {
        place.guide.parts.iter().collect()
    } else {
        block.parts.iter().filter_map(|link| place.guide.parts.get(&link.value)).collect()
    };
    let row =
        |part: &&Part| Some(view::Row { says: part.name.value.clone(), value: value(&place.varied(&part.torque)?) });
    named.iter().filter_map(row).collect()
}

fn hoses(place: Place<'_>, block: &CardBlock) -> Vec<view::Item> {
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
        view::Item { head: hose.mark.value.clone(), says }
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

/// Work that needs recalibration, always or sometimes; where it differs, variant by variant. Of the work, what the
/// block names, or what disturbs a part that it names; all where it names nothing.
fn tags(place: Place<'_>, block: &CardBlock) -> Vec<view::CardTag> {
    let all = block.parts.is_empty() && block.procedures.is_empty();
    let named = |procedure: &&crate::model::Procedure| {
        all || block.procedures.iter().any(|link| link.as_str() == procedure.id()) || {
            let disturbed = disturbed_on_the_way(place.guide, procedure);
            block.parts.iter().any(|link| disturbed.contains(&link.value))
        }
    };
    let rows = place.guide.procedures.iter().filter(named).flat_map(|procedure| {
        procedure.recalibration.iter().filter(|tag| tag.need.value != Need::None).map(move |tag| (procedure, tag))
    });
    let row = |(procedure, tag): (&crate::model::Procedure, &crate::model::Recalibration)| {
        let mut work = place.link(Kind::Procedure, procedure.id());
        if let Some(named) = &tag.variants {
            work.text = format!("{} ({})", work.text, place.variants(named));
        }
        let tag = place.one_tag(procedure, tag);
        let when = tag.when.as_ref().map(|when| format!(", {when}")).unwrap_or_default();
        view::CardTag { says: format!(": {}{when}", tag.word), work, tag }
    };
    rows.map(row).collect()
}

/// Who may recalibrate, how long it takes, and whether the machine may move meanwhile.
fn depots(place: Place<'_>) -> Vec<view::Item> {
    let row = |depot: &crate::model::Depot| {
        let contact = depot.contact.as_ref().map(|contact| format!("{}, ", contact.value)).unwrap_or_default();
        let days = format!("{} {}", depot.lead_days.value, place.word("working_days"));
        let may_move = place.plain(&depot.may_move);
        view::Item {
            head: format!("{}:", depot.name.value),
            says: format!("{contact}{days}. {} {may_move}", place.word("may_move")),
        }
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
