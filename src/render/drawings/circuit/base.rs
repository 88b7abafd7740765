//! The circuit itself: cylinders, hoses, valve blocks with their passages, pumps, reservoirs.

use super::layout::{BLOCKS, CYLINDERS, LANE, Layout, STUB, VALVES};
use super::marks::{self, Mark};
use super::pieces::{Base, Block, Lane, Line, Rail, Ram};
use super::{Words, path, symbols};
use crate::model::{Circuit, PartKind, PassageKind};
use crate::render::drawings::svg::{Pen, wrapped};

pub(super) fn draw(pen: &mut Pen, circuit: &Circuit, layout: &Layout<'_>, words: &Words<'_>) {
    let marks = marks::of(circuit);
    for block in &layout.blocks {
        let (wide, high) = (block.right - block.left, layout.block_foot - BLOCKS);
        pen.path("c-block", &format!("M{} {BLOCKS}h{wide}v{high}h-{wide}z", block.left), None);
    }
    for line in &layout.lines {
        hose(pen, circuit, &marks, line);
    }
    layout.rails.iter().for_each(|rail| self::rail(pen, layout, rail));
    layout.lanes.iter().for_each(|lane| self::lane(pen, lane));
    stubs(pen, layout);
    ports(pen, layout);
    layout.rams.iter().for_each(|ram| cylinder(pen, circuit, ram));
    layout.bases.iter().for_each(|base| self::base(pen, circuit, layout, base, words));
    layout.blocks.iter().for_each(|block| block_name(pen, layout, block, words));
    layout.lines.iter().for_each(|line| label(pen, line));
}

/// The name of a block, where no hose comes down through it; the table has it anyway.
fn block_name(pen: &mut Pen, layout: &Layout<'_>, block: &Block<'_>, words: &Words<'_>) {
    let name = (words.part)(block.part);
    let uppers = layout.block_ports.iter().filter(|(_, x, upper)| *upper && *x < block.right);
    let free = block.right - uppers.map(|(_, x, _)| *x).max().unwrap_or(block.left) - 24;
    if free > 8 * i32::try_from(name.chars().count()).unwrap_or(free) {
        pen.text("c-mark", block.right.unsigned_abs(), (BLOCKS - 7).unsigned_abs(), "end", &[name]);
    }
}

/// A hose, with its own colour, its pattern along it and its rings across it.
fn hose(pen: &mut Pen, circuit: &Circuit, marks: &[Mark], line: &Line<'_>) {
    let place =
        circuit.hoses.iter().position(|hose| line.hoses.first().is_some_and(|first| std::ptr::eq(*first, hose)));
    let Some(mark) = place.and_then(|place| marks.get(place)) else { return };
    let way = path(&line.way);
    pen.path("c-edge", &way, Some(12));
    pen.raw(&format!("<path d=\"{way}\" stroke=\"{}\" stroke-width=\"9\"/>", mark.fill));
    if !mark.dash.is_empty() {
        let (over, dash) = (&mark.over, mark.dash);
        pen.raw(&format!("<path d=\"{way}\" stroke=\"{over}\" stroke-width=\"3\" stroke-dasharray=\"{dash}\"/>"));
    }
    let Some((x, y)) = line.way.last().copied() else { return };
    let down = line.way.iter().rev().nth(1).is_some_and(|before| before.1 < y);
    let step = if down { -5 } else { 5 };
    for ring in 0..i32::try_from(mark.rings).unwrap_or(0) {
        let at = y + step * (ring * 2 + 2);
        pen.raw(&format!("<path d=\"M{} {at}h10\" stroke=\"{}\" stroke-width=\"4\"/>", x - 5, mark.ring));
    }
}

/// The marks of a line: where machines differ, of each.
pub(super) fn marks_of(line: &Line<'_>) -> String {
    let mut marks: Vec<&str> = line.hoses.iter().map(|hose| hose.mark.value.as_str()).collect();
    marks.dedup();
    marks.join("/")
}

/// Half the width of a line's label.
pub(super) fn label_half(line: &Line<'_>) -> i32 {
    4 * i32::try_from(marks_of(line).chars().count()).unwrap_or(4) + 4
}

fn label(pen: &mut Pen, line: &Line<'_>) {
    let (x, y) = line.label;
    let half = label_half(line);
    let wide = half * 2;
    pen.path("c-label", &format!("M{} {}h{wide}v18h-{wide}z", x - half, y - 9), None);
    pen.text("c-mark", x.unsigned_abs(), (y + 5).unsigned_abs(), "middle", &[marks_of(line)]);
}

fn rail(pen: &mut Pen, layout: &Layout<'_>, rail: &Rail) {
    let all = || rail.joints.iter().copied().chain([rail.column]);
    let (Some(first), Some(last)) = (all().min(), all().max()) else { return };
    let end = if rail.above { STUB } else { layout.block_foot };
    let (y, column) = (rail.y, rail.column);
    pen.path("c-line", &format!("M{first} {y}H{last}M{column} {y}V{end}"), None);
    for joint in rail.joints.iter().filter(|joint| **joint != first && **joint != last) {
        dot(pen, *joint, rail.y);
    }
    if rail.column != first && rail.column != last {
        dot(pen, rail.column, rail.y);
    }
}

fn dot(pen: &mut Pen, x: i32, y: i32) {
    pen.path("c-fill", &format!("M{} {y}a4 4 0 1 0 8 0a4 4 0 1 0 -8 0z", x - 4), None);
}

fn lane(pen: &mut Pen, lane: &Lane<'_>) {
    let (x, half) = (lane.x, symbols::HALF);
    symbols::valve(pen, lane.passage.kind.value, x, VALVES, lane.upwards);
    pen.path("c-line", &format!("M{x} {}V{}", VALVES + half, lane.rail), None);
    match (lane.port, lane.other_rail) {
        (Some(_), _) => pen.path("c-line", &format!("M{x} {}V{STUB}", VALVES - half), None),
        (None, Some(other)) => {
            pen.path("c-line", &format!("M{x} {}V{}H{}V{other}", VALVES - half, VALVES - half - 6, x + LANE / 2), None);
        }
        (None, None) => {}
    }
    if let Some(pilot) = lane.pilot {
        pen.path("c-line c-pilot", &format!("M{} {VALVES}H{}V{pilot}", x + 9, x + LANE / 2), None);
    }
    // Beside the foot of a valve; below the pilot that a relief valve has there.
    let below = if lane.passage.kind.value == PassageKind::Relief { 32 } else { 22 };
    pen.text("c-small", (x - 13).unsigned_abs(), (VALVES + below).unsigned_abs(), "middle", &[lane.number.to_string()]);
}

/// From an upper port to its lanes.
fn stubs(pen: &mut Pen, layout: &Layout<'_>) {
    for (_, x, _) in layout.block_ports.iter().filter(|(_, _, upper)| *upper) {
        let lanes = layout.lanes.iter().filter(|lane| lane.port == Some(*x)).map(|lane| lane.x);
        let last = lanes.clone().max().unwrap_or(*x);
        pen.path("c-line", &format!("M{x} {BLOCKS}V{STUB}H{last}"), None);
        let count = lanes.clone().count();
        lanes.filter(|lane| count > 1 && *lane < last).for_each(|lane| dot(pen, lane, STUB));
    }
}

fn ports(pen: &mut Pen, layout: &Layout<'_>) {
    for (port, x, upper) in &layout.block_ports {
        let name = port.mark.as_ref().map_or(port.id.value.as_str(), |mark| mark.value.as_str());
        let y = if *upper { BLOCKS + 15 } else { layout.block_foot - 5 };
        pen.text("c-small", (x + 6).unsigned_abs(), y.unsigned_abs(), "start", &[name.to_owned()]);
    }
}

/// The left and right end of a cylinder's barrel.
pub(super) fn barrel(ram: &Ram) -> (i32, i32) {
    let right = ram.rod.unwrap_or(ram.cap + 2 * LANE);
    (ram.cap - 14, right.max(ram.cap + LANE) + 14)
}

fn cylinder(pen: &mut Pen, circuit: &Circuit, ram: &Ram) {
    let (left, right) = barrel(ram);
    symbols::cylinder(pen, left, right, CYLINDERS);
    let Some(actuator) = circuit.actuators.get(ram.actuator) else { return };
    let room = (ram.room - 6).unsigned_abs();
    let mut lines = wrapped(&actuator.name, room);
    lines.truncate(3);
    pen.text("c-mark", left.unsigned_abs(), 14, "start", &lines);
}

fn base(pen: &mut Pen, circuit: &Circuit, layout: &Layout<'_>, base: &Base<'_>, words: &Words<'_>) {
    let head = layout.base_head;
    let pump = circuit.pumps.iter().find(|pump| pump.part.as_str() == base.part);
    let name = (words.part)(base.part);
    let column = |port: &str| base.ports.iter().find(|(it, _)| it.id.value == port).map(|(_, x)| *x);
    let mut served: Vec<i32> = Vec::new();
    match pump {
        Some(pump) => {
            let forward = column(pump.forward.as_str()).unwrap_or(base.left + 20);
            let reverse = pump.reverse.as_ref().and_then(|port| column(port.as_str()));
            let other = reverse.unwrap_or(forward + LANE);
            let (middle, y) = ((forward + other) / 2, head + 34);
            let side = |x: i32| if x < middle { middle - 18 } else { middle + 18 };
            pen.path("c-line", &format!("M{forward} {head}V{y}H{}", side(forward)), None);
            if reverse.is_some() {
                pen.path("c-line", &format!("M{other} {head}V{y}H{}", side(other)), None);
            }
            served.extend([Some(forward), reverse].into_iter().flatten());
            symbols::pump(pen, middle, y, reverse.is_some(), (words.kind)(base.part) == Some(PartKind::HandPump));
            for (_, x) in base.ports.iter().filter(|(_, x)| !served.contains(x)) {
                pen.path("c-line", &format!("M{x} {head}V{}H{}L{} {}", y + 24, middle + 24, middle + 13, y + 13), None);
            }
        }
        None if (words.kind)(base.part) == Some(PartKind::Reservoir) => {
            symbols::reservoir(pen, base.left + 4, base.right - 4, head + 24);
            for (_, x) in &base.ports {
                pen.path("c-line", &format!("M{x} {head}V{}", head + 50), None);
            }
        }
        None => {
            let (wide, left) = (base.right - base.left, base.left);
            pen.path("c-field", &format!("M{left} {}h{wide}v34h-{wide}z", head + 10), None);
            for (_, x) in &base.ports {
                pen.path("c-line", &format!("M{x} {head}v10"), None);
            }
        }
    }
    for (port, x) in &base.ports {
        let mark = port.mark.as_ref().map_or("", |mark| mark.value.as_str());
        pen.text("c-small", (x + 6).unsigned_abs(), (head + 12).unsigned_abs(), "start", &[mark.to_owned()]);
    }
    let mut lines = wrapped(&name, (base.right - base.left + 24).unsigned_abs());
    lines.truncate(3);
    pen.text("c-mark", base.left.unsigned_abs(), (head + 112).unsigned_abs(), "start", &lines);
}
