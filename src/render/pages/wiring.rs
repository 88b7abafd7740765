//! Wiring paths.

use num_traits::CheckedAdd;

use super::{Draft, entry_draft, kind_word, number};
use crate::model::quantity::{Exact, Quantity};
use crate::model::{Entry, Kind, Node, NodeKind, Sourced, TestPoint, Varied, WiringPath};
use crate::reason::PathFacts;
use crate::render::calculator::{self, Block};
use crate::render::colours;
use crate::render::place::Place;
use crate::render::theme::WORK;
use crate::render::views::pieces::{Link, Shown};
use crate::render::views::wiring as view;

pub(super) fn draft<'g>(place: Place<'g>, path: &'g WiringPath) -> Draft {
    entry_draft(place, path, "wiring", kind_word(place, Kind::WiringPath), &page(place, path)).with_script(WORK)
}

fn page(place: Place<'_>, path: &WiringPath) -> view::Wiring {
    let wires = path.nodes.iter().enumerate().filter(|(_, node)| node.kind.value == NodeKind::Wire);
    let fuses = path.nodes.iter().filter(|node| node.kind.value == NodeKind::Fuse);
    view::Wiring {
        intro_html: place.blocks_opt(path.says.as_ref()),
        cautions: place.hazards_of(path.nodes.iter().filter_map(|node| node.part.as_ref())),
        drawing: None,
        nodes: path.nodes.iter().enumerate().map(|(index, it)| node(place, index, it)).collect(),
        states: vec![place.word("while_it_runs")],
        points: path.test_points.iter().enumerate().map(|(index, it)| point(place, path, index, it)).collect(),
        block_json: losses(place, path).map(|losses| Block::of_path(place, losses).json()),
        wires: wires.map(|(index, it)| wire(place, path, index, it)).collect(),
        fuses: fuses.map(|it| fuse(place, path, it)).collect(),
        faults: place.mentioned_by(Kind::WiringPath, path.id(), &[Kind::Fault, Kind::Note]),
        sources: sources(place, path),
    }
}

fn sources(place: Place<'_>, path: &WiringPath) -> Vec<crate::render::views::pieces::Source> {
    let own = path.supply.iter().chain(&path.load_current).chain(&path.drop_budget);
    let nodes = path.nodes.iter().flat_map(|node| node.rating.iter().chain(&node.size).chain(&node.length));
    place.sources(own.chain(nodes).map(|value| value.source.as_ref()))
}

fn node(place: Place<'_>, index: usize, node: &Node) -> view::Node {
    view::Node {
        number: number(index),
        kind: place.word(kind_key(node.kind.value)),
        part: node.part.as_ref().map(|part| place.part(part)),
        says: node.says.as_ref().map(|says| says.value.clone()).unwrap_or_default(),
        closed_when: node.closed_when.as_ref().map(|when| when.value.clone()),
    }
}

fn kind_key(kind: NodeKind) -> &'static str {
    match kind {
        NodeKind::Supply => "node_supply",
        NodeKind::Fuse => "fuse",
        NodeKind::Wire => "node_wire",
        NodeKind::Connector => "node_connector",
        NodeKind::Splice => "node_splice",
        NodeKind::Switch => "node_switch",
        NodeKind::Relay => "node_relay",
        NodeKind::Load => "load",
        NodeKind::Ground => "node_ground",
    }
}

fn point(place: Place<'_>, path: &WiringPath, index: usize, point: &TestPoint) -> view::Point {
    let after = path.nodes.iter().find(|node| node.id.value == point.after.as_str());
    let suspect = after.and_then(|node| node.part.as_ref()).map(|part| place.part(part));
    view::Point {
        order: number(index),
        mark: point.id.value.clone(),
        place: point.says.value.clone(),
        volts: vec![place.varied(&point.expect).map_or(place.word("not_stated"), |shown| shown.first)],
        suspect: suspect.into_iter().collect(),
    }
}

fn wire(place: Place<'_>, path: &WiringPath, index: usize, wire: &Node) -> view::Wire {
    let missing = || Shown { first: place.word("not_stated"), second: None };
    let code = wire.colour.as_ref().map(|colour| colour.value.clone()).unwrap_or_default();
    view::Wire {
        from: neighbour(place, path, index.checked_sub(1)),
        to: neighbour(place, path, index.checked_add(1)),
        colour: colours::of_code(&code),
        code,
        // Cross-sections are bought, stamped and asked for in mm²: a converted one fits no drawer.
        size: as_written(place, &wire.size).unwrap_or_else(missing),
        length: place.varied(&wire.length).unwrap_or_else(missing),
    }
}

/// A value as it was written, in one system of units; where it differs by variant, each with its variants.
fn as_written(place: Place<'_>, values: &Varied<Quantity>) -> Option<Shown> {
    let one = |value: &Sourced<Quantity>| {
        let variants = value.variants.as_deref().map(|named| format!("{}: ", place.variants(named)));
        format!("{}{}", variants.unwrap_or_default(), value.value.written())
    };
    let first = values.iter().map(one).collect::<Vec<_>>().join("; ");
    (!first.is_empty()).then_some(Shown { first, second: None })
}

/// What the wires between neighbouring test points lose, from the supply to ground. Where machines differ, the greatest
/// loss and the smallest budget. `None` unless the points stand in the order of the path.
fn losses(place: Place<'_>, path: &WiringPath) -> Option<calculator::Path> {
    let facts = place.facts.wiring.paths.get(path.id())?;
    let after = |point: &TestPoint| path.nodes.iter().position(|node| node.id.value == point.after.as_str());
    let mut stops = vec![0];
    stops.extend(path.test_points.iter().filter_map(after));
    stops.push(path.nodes.len());
    if stops.len() != path.test_points.len() + 2 || !stops.is_sorted() {
        return None;
    }
    let names = path.nodes.first().map(|node| named(place, node).text);
    let names = names.into_iter().chain(path.test_points.iter().map(|point| point.says.value.clone()));
    let names = names.chain(path.nodes.last().map(|node| named(place, node).text)).collect();
    let may = stops.windows(2).map(|pair| may_lose(path, facts, pair)).collect();
    let budget = facts.iter().filter_map(|machine| machine.budget).min().map(calculator::fraction);
    Some(calculator::Path { points: names, may, budget })
}

/// What the wires between two places of a path lose at most, in volt; `None` across the load or where it is not known.
fn may_lose(path: &WiringPath, facts: &[PathFacts], pair: &[usize]) -> Option<String> {
    let &[from, to] = pair else { return None };
    let between = |node: usize| from < node && node <= to;
    if path.nodes.iter().enumerate().any(|(index, node)| between(index) && node.kind.value == NodeKind::Load) {
        return None;
    }
    let on_machine = |machine: &PathFacts| {
        let wires = machine.wires.iter().filter(|wire| between(wire.node));
        wires.map(|wire| wire.drop).try_fold(Exact::from_integer(0), |all, drop| all.checked_add(&drop?))
    };
    facts.iter().map(on_machine).collect::<Option<Vec<_>>>()?.into_iter().max().map(calculator::fraction)
}

/// The node before or after a wire, in words.
fn neighbour(place: Place<'_>, path: &WiringPath, index: Option<usize>) -> String {
    let Some(node) = index.and_then(|index| path.nodes.get(index)) else { return String::new() };
    let part = node.part.as_ref().and_then(|part| place.guide.parts.get(&part.value));
    part.map_or_else(|| place.word(kind_key(node.kind.value)), |part| part.name.value.clone())
}

/// A node that is no part of the guide: its words, and nowhere to go.
fn named(place: Place<'_>, node: &Node) -> Link {
    let says = node.says.as_ref().map(|says| says.value.clone());
    Link { text: says.unwrap_or_else(|| place.word(kind_key(node.kind.value))), ..Link::default() }
}

fn fuse(place: Place<'_>, path: &WiringPath, fuse: &Node) -> view::Fuse {
    let text = |values| place.varied(values).map_or(place.word("not_stated"), |shown: Shown| shown.first);
    view::Fuse {
        link: fuse.part.as_ref().map_or_else(|| named(place, fuse), |part| place.part(part)),
        rating: text(&fuse.rating),
        load: text(&path.load_current),
        source: fuse.rating.first().and_then(|rating| place.source(rating.source.as_ref())),
    }
}
