//! Hose tables, with the circuit drawn for each direction of each pump.

mod air;
mod crossings;
mod figures;
mod finder;
mod groups;
mod on_machines;
mod pairs;
mod stalls;
mod told;
mod watched;

use super::{Draft, entry_draft, guide_draft, kind_word, number};
use crate::model::{AirLimits, Circuit, Entry, Hose, Kind, Link as Mention, Passage, Port};
use crate::reason::Rows;
use crate::render::drawings::circuit::marks::{self, Mark};
use crate::render::place::Place;
use crate::render::views::hoses as view;
use crate::render::views::pieces::{Link, Shown};

pub(super) fn draft<'g>(place: Place<'g>, circuit: &'g Circuit) -> Draft {
    entry_draft(place, circuit, "hoses", kind_word(place, Kind::Circuit), &page(place, circuit))
}

/// The page of what crossed hoses do.
pub(super) fn crossed<'g>(place: Place<'g>, circuit: &'g Circuit) -> Draft {
    let known = crossings::Crossed::of(place, circuit);
    let (stalls, covers) = stalls::rows(place, circuit);
    let (rows, left_out) = (known.rows(), known.left_out());
    let found = finder::by_hose(&rows, known.marks());
    let page = view::Crossed {
        table: place.link(Kind::Circuit, circuit.id()),
        cautions: place.hazards_of(circuit.ports.iter().map(|port| &port.part)),
        by_pair: found.iter().flat_map(|one| &one.partners).any(|partner| !partner.marks.is_empty()),
        found,
        kinds: finder::by_kind(rows),
        left_out: if left_out > 0 { place.said("left_out", &[("count", left_out.to_string())]) } else { String::new() },
        not_told_apart: known.not_told_apart(),
        markings: known.markings(),
        stalls,
        covers,
    };
    let title = format!("{}: {}", circuit.name.value, place.word("crossings_and_stops"));
    guide_draft(place, &crossings::path(circuit), "crossings", title, &page)
}

/// Where that page stands.
pub(super) fn crossed_path(circuit: &Circuit) -> String {
    crossings::path(circuit)
}

fn page(place: Place<'_>, circuit: &Circuit) -> view::HoseTable {
    let (marks, drawn, rows) = (marks::of(circuit), figures::Figures::of(place, circuit), Rows::of(place.guide));
    let sources = circuit.hoses.iter().map(|hose| hose.source.as_ref());
    view::HoseTable {
        intro_html: place.blocks_opt(circuit.says.as_ref()),
        cautions: place.hazards_of(circuit.ports.iter().map(|port| &port.part)),
        drawing: drawn.drawing(),
        circuits: vec![view::Circuit {
            name: circuit.name.value.clone(),
            pumps: circuit.pumps.iter().map(|pump| place.part(&pump.part)).collect(),
            hoses: circuit.hoses.iter().zip(&marks).map(|(it, mark)| hose(place, &rows, mark, it)).collect(),
        }],
        motions: drawn.motions(),
        passages: circuit.passages.iter().enumerate().map(|(index, it)| passage(place, circuit, index, it)).collect(),
        crossed: (!circuit.hoses.is_empty())
            .then(|| Link { href: place.href(&crossings::path(circuit)), text: place.word("crossings_and_stops") }),
        limits: circuit.air.iter().flat_map(|air| limits(place, air)).collect(),
        pockets: air::pockets(place, circuit),
        procedures: procedures(place, circuit),
        sources: place.sources(sources),
    }
}

fn hose(place: Place<'_>, rows: &Rows<'_>, mark: &Mark, hose: &Hose) -> view::Hose {
    let pair = hose.pair.as_ref().map(|pair| {
        let mark = rows.hose(pair.as_str());
        Link {
            href: format!("#hose-{}", pair.as_str()),
            text: mark.map_or(pair.as_str().to_owned(), |hose| hose.mark.value.clone()),
        }
    });
    view::Hose {
        anchor: format!("hose-{}", hose.id.value),
        mark: hose.mark.value.clone(),
        colour: colour(&hose.colour, mark),
        bore: value(place.varied(&hose.bore), place),
        length: value(place.varied(&hose.length), place),
        fitting: hose.fitting.value.clone(),
        from: end(place, rows, hose.from.as_ref()),
        to: end(place, rows, hose.to.as_ref()),
        pair,
        applies_to: hose.variants.as_deref().map(|named| vec![place.variants(named)]).unwrap_or_default(),
    }
}

fn colour(name: &str, mark: &Mark) -> view::Colour {
    view::Colour {
        name: name.to_owned(),
        fill: mark.fill.clone(),
        dash_fill: mark.over.clone(),
        dash: mark.dash.to_owned(),
        rings: (0..mark.rings).map(|ring| 12 + ring * 9).collect(),
        ring_fill: mark.ring.clone(),
    }
}

fn passage(place: Place<'_>, circuit: &Circuit, index: usize, passage: &Passage) -> view::Passage {
    let port = |link: &Mention<Port>| {
        let port = circuit.ports.iter().find(|port| port.id.value == link.as_str());
        port.and_then(|port| port.mark.as_ref()).map_or(link.as_str().to_owned(), |mark| mark.value.clone())
    };
    view::Passage {
        number: number(index),
        kind: place.word(figures::passage_word(passage.kind.value)),
        from: port(&passage.from),
        to: port(&passage.to),
        pilot: passage.pilot.as_ref().map(port).unwrap_or_default(),
        opens_at: place.varied(&passage.opens_at),
    }
}

fn value(shown: Option<Shown>, place: Place<'_>) -> Shown {
    shown.unwrap_or_else(|| Shown { first: place.word("not_stated"), second: None })
}

fn end(place: Place<'_>, rows: &Rows<'_>, port: Option<&Mention<Port>>) -> view::End {
    match port.and_then(|link| rows.port(link.as_str())) {
        Some(port) => view::End {
            part: place.part(&port.part),
            port: port.mark.as_ref().map_or(port.id.value.clone(), |mark| mark.value.clone()),
            takes: port.takes.iter().map(|mark| mark.as_str()).collect::<Vec<_>>().join(", "),
        },
        None => view::End::default(),
    }
}

fn limits(place: Place<'_>, air: &AirLimits) -> Vec<view::AirLimit> {
    let rows = [("air_per_line", &air.per_line), ("air_in_all", &air.in_all)];
    let row = |(word, values): (&'static str, &crate::model::Varied<_>)| {
        let source = values.first().and_then(|value| place.source(value.source.as_ref()));
        Some(view::AirLimit {
            place: place.word(word),
            shown: place.varied(values)?,
            says: place.word("at_most"),
            source,
        })
    };
    rows.into_iter().filter_map(row).collect()
}

/// Work on the pumps, the hoses and what they end at.
fn procedures(place: Place<'_>, circuit: &Circuit) -> Vec<Link> {
    let ports = circuit.ports.iter().map(|port| &port.part);
    let hoses = circuit.hoses.iter().filter_map(|hose| hose.part.as_ref());
    let mut parts: Vec<&str> = ports.chain(hoses).map(|part| part.as_str()).collect();
    parts.sort_unstable();
    parts.dedup();
    let mut links: Vec<Link> = Vec::new();
    for link in parts.into_iter().flat_map(|part| place.mentioned_by(Kind::Part, part, &[Kind::Procedure])) {
        if !links.iter().any(|known| known.href == link.href) {
            links.push(link);
        }
    }
    links
}
