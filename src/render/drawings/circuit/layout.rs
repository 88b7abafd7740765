//! Where everything of a circuit stands: cylinders above, valve blocks in the middle, pumps and reservoirs below.
//!
//! Every port has a column of its own, and a block's port stands in the column of the port its hose leads to, so that
//! hoses run straight and no two lie on each other. Inside a block every passage has a lane, and every lower port a
//! rail that its lanes end at. A hose that cannot run straight crosses over on a track of its own.

use std::collections::{BTreeMap, BTreeSet};

use super::pieces::{Base, Block, Lane, Line, Rail, Ram};
use crate::model::{Circuit, Hose, Passage, Port};

/// Distance between lanes and between columns.
pub(super) const LANE: i32 = 44;
/// Distance between rails.
const RAIL: i32 = 22;
/// Room between two parts in a row.
const GAP: i32 = LANE;
/// The underside of the cylinders, where their ports are.
pub(super) const CYLINDERS: i32 = 104;
/// The upper edge of the blocks.
pub(super) const BLOCKS: i32 = 206;
/// Where further lanes of an upper port branch off.
pub(super) const STUB: i32 = BLOCKS + 26;
/// The middle of the valves.
pub(super) const VALVES: i32 = STUB + 34;
/// The highest rail.
const RAILS: i32 = VALVES + 44;

/// The whole drawing.
pub(super) struct Layout<'c> {
    pub(super) rams: Vec<Ram>,
    pub(super) blocks: Vec<Block<'c>>,
    pub(super) bases: Vec<Base<'c>>,
    pub(super) lanes: Vec<Lane<'c>>,
    pub(super) rails: Vec<Rail>,
    pub(super) lines: Vec<Line<'c>>,
    /// Ports of blocks with the column they stand in; true on the upper edge.
    pub(super) block_ports: Vec<(&'c Port, i32, bool)>,
    pub(super) block_foot: i32,
    pub(super) base_head: i32,
    pub(super) wide: i32,
    pub(super) high: i32,
}

impl<'c> Layout<'c> {
    /// Lays a circuit out; none where it has no ports to draw.
    pub(super) fn of(circuit: &'c Circuit) -> Option<Self> {
        if circuit.ports.is_empty() || circuit.actuators.is_empty() {
            return None;
        }
        let mut work = Work::of(circuit);
        work.place_tops();
        work.place_bases();
        work.place_rails();
        work.route();
        Some(work.done())
    }
}

struct Work<'c> {
    circuit: &'c Circuit,
    /// Hoses by their two ends, in the order of the table.
    ends: Vec<(&'c str, &'c str, Vec<&'c Hose>)>,
    block_parts: Vec<&'c str>,
    /// The column of a port, wherever it stands.
    columns: BTreeMap<&'c str, i32>,
    /// Upper ports of blocks.
    upper: BTreeSet<&'c str>,
    layout: Layout<'c>,
    cursor: i32,
}

impl<'c> Work<'c> {
    fn of(circuit: &'c Circuit) -> Self {
        let mut ends: Vec<(&str, &str, Vec<&Hose>)> = Vec::new();
        for hose in &circuit.hoses {
            let (Some(from), Some(to)) = (&hose.from, &hose.to) else { continue };
            match ends.iter_mut().find(|known| known.0 == from.as_str() && known.1 == to.as_str()) {
                Some(known) => known.2.push(hose),
                None => ends.push((from.as_str(), to.as_str(), vec![hose])),
            }
        }
        let mut block_parts: Vec<&str> = Vec::new();
        for passage in &circuit.passages {
            if !block_parts.contains(&passage.part.as_str()) {
                block_parts.push(passage.part.as_str());
            }
        }
        let layout = Layout {
            rams: Vec::new(),
            blocks: Vec::new(),
            bases: Vec::new(),
            lanes: Vec::new(),
            rails: Vec::new(),
            lines: Vec::new(),
            block_ports: Vec::new(),
            block_foot: RAILS,
            base_head: 0,
            wide: 0,
            high: 0,
        };
        Self { circuit, ends, block_parts, columns: BTreeMap::new(), upper: BTreeSet::new(), layout, cursor: 40 }
    }

    fn partner(&self, port: &str) -> Option<&'c str> {
        self.ends.iter().find_map(|(from, to, _)| match () {
            () if *from == port => Some(*to),
            () if *to == port => Some(*from),
            () => None,
        })
    }

    fn port(&self, id: &str) -> Option<&'c Port> {
        self.circuit.ports.iter().find(|port| port.id.value == id)
    }

    /// The block that a port belongs to.
    fn block_of(&self, id: &str) -> Option<usize> {
        let part = self.port(id)?.part.as_str();
        self.block_parts.iter().position(|known| *known == part)
    }

    /// The passages that have a port as their upper end.
    fn above(&self, port: &str) -> Vec<(usize, &'c Passage, bool)> {
        let upper = |id: &str| self.upper.contains(id);
        let all = self.circuit.passages.iter().enumerate();
        all.filter_map(|(number, passage)| {
            let (from, to) = (passage.from.as_str(), passage.to.as_str());
            match () {
                () if to == port => Some((number, passage, true)),
                () if from == port && !upper(to) => Some((number, passage, false)),
                () => None,
            }
        })
        .collect()
    }

    /// Cylinders with the block ports below them, block by block, each followed by the passages between rails.
    fn place_tops(&mut self) {
        let circuit = self.circuit;
        for actuator in &circuit.actuators {
            for port in [Some(&actuator.cap), actuator.rod.as_ref()].into_iter().flatten() {
                let partner = self.partner(port.as_str()).filter(|partner| self.block_of(partner).is_some());
                self.upper.extend(partner);
            }
        }
        let home = |work: &Self, at: usize| {
            let cap = work.circuit.actuators.get(at).map(|actuator| actuator.cap.as_str());
            cap.and_then(|cap| work.partner(cap)).and_then(|port| work.block_of(port)).unwrap_or(usize::MAX)
        };
        let mut order: Vec<usize> = (0..circuit.actuators.len()).collect();
        order.sort_by_key(|at| home(self, *at));
        let homes: Vec<(usize, usize)> = order.into_iter().map(|at| (at, home(self, at))).collect();
        for block in 0..self.block_parts.len() {
            let left = self.cursor - 34;
            for (at, _) in homes.iter().filter(|(_, home)| *home == block) {
                self.place_ram(*at);
            }
            self.place_between(block);
            let part = self.block_parts[block];
            self.layout.blocks.push(Block { part, left, right: self.cursor - 6 });
            self.cursor += GAP;
        }
        for (at, _) in homes.iter().filter(|(_, home)| *home == usize::MAX) {
            self.place_ram(*at);
        }
    }

    fn place_ram(&mut self, at: usize) {
        let Some(actuator) = self.circuit.actuators.get(at) else { return };
        let start = self.cursor;
        let cap = self.place_upper(actuator.cap.as_str());
        // A barrel has room for what it does and an arrow.
        self.cursor = self.cursor.max(start + 2 * LANE);
        let rod = actuator.rod.as_ref().map(|rod| self.place_upper(rod.as_str()));
        self.cursor = self.cursor.max(start + 3 * LANE) + GAP;
        self.layout.rams.push(Ram { actuator: at, cap, rod, room: self.cursor - start });
    }

    /// Gives a cylinder's port its column, with the block port below it and the lanes of that.
    fn place_upper(&mut self, port: &'c str) -> i32 {
        let x = self.cursor;
        self.columns.insert(port, x);
        let below = self.partner(port).filter(|below| self.upper.contains(below) && !self.columns.contains_key(below));
        let Some(below) = below else {
            self.cursor += LANE;
            return x;
        };
        self.columns.insert(below, x);
        self.layout.block_ports.extend(self.port(below).map(|port| (port, x, true)));
        let passages = self.above(below);
        for (place, (number, passage, upwards)) in passages.iter().enumerate() {
            let x_lane = x + LANE * i32::try_from(place).unwrap_or(0);
            self.layout.lanes.push(Lane {
                passage,
                number: number + 1,
                x: x_lane,
                port: Some(x),
                upwards: *upwards,
                rail: 0,
                other_rail: None,
                pilot: None,
            });
        }
        self.cursor += LANE * i32::try_from(passages.len().max(1)).unwrap_or(1);
        x
    }

    /// Passages of a block with no upper port: between two rails.
    fn place_between(&mut self, block: usize) {
        let part = self.block_parts.get(block).copied().unwrap_or_default();
        let placed: BTreeSet<usize> = self.layout.lanes.iter().map(|lane| lane.number).collect();
        let all = self.circuit.passages.iter().enumerate();
        for (number, passage) in all.filter(|(_, passage)| passage.part.as_str() == part) {
            if placed.contains(&(number + 1)) {
                continue;
            }
            let x = self.cursor;
            let lane = Lane {
                passage,
                number: number + 1,
                x,
                port: None,
                upwards: true,
                rail: 0,
                other_rail: None,
                pilot: None,
            };
            self.layout.lanes.push(lane);
            self.cursor += LANE + LANE / 2;
        }
    }

    /// Pumps, reservoirs and whatever else, each port in a column; the block ports that lead to them above.
    fn place_bases(&mut self) {
        let circuit = self.circuit;
        let mut parts: Vec<&'c str> = Vec::new();
        for port in &circuit.ports {
            let id = port.id.value.as_str();
            let part = port.part.as_str();
            if !self.columns.contains_key(id) && self.block_of(id).is_none() && !parts.contains(&part) {
                parts.push(part);
            }
        }
        let mut x = 40;
        for part in parts {
            let ports: Vec<&'c Port> = circuit.ports.iter().filter(|port| port.part.as_str() == part).collect();
            let ports: Vec<&'c Port> =
                ports.into_iter().filter(|port| !self.columns.contains_key(port.id.value.as_str())).collect();
            // Columns under a block stand between its lanes, so that no rail's end meets a lane.
            let start = x;
            let mut placed = Vec::new();
            for port in ports {
                let column = x + LANE / 4;
                self.columns.insert(port.id.value.as_str(), column);
                placed.push((port, column));
                x += LANE;
            }
            x = x.max(start + 2 * LANE) + GAP;
            self.layout.bases.push(Base { part, ports: placed, left: start - 14, right: x - GAP - 10 });
        }
        self.place_block_feet(x);
        self.cursor = self.cursor.max(x);
    }

    /// Lower ports of blocks: in the column of the port their hose leads to, else in one of their own.
    fn place_block_feet(&mut self, bases_end: i32) {
        let mut taken: BTreeSet<i32> = BTreeSet::new();
        let mut free = bases_end.max(40) + LANE / 4;
        for port in &self.circuit.ports {
            let id = port.id.value.as_str();
            let Some(block) = self.block_of(id).filter(|_| !self.columns.contains_key(id)) else { continue };
            let partner = self.partner(id).and_then(|partner| self.columns.get(partner).copied());
            let x = partner.filter(|x| taken.insert(*x)).unwrap_or_else(|| {
                free += LANE;
                free - LANE
            });
            self.columns.insert(id, x);
            self.layout.block_ports.push((port, x, false));
            if let Some(block) = self.layout.blocks.get_mut(block) {
                block.right = block.right.max(x + 24);
                block.left = block.left.min(x - 24);
            }
        }
        self.cursor = self.cursor.max(free);
    }

    /// Every port that a passage ends at from below gets a rail.
    fn place_rails(&mut self) {
        let mut rails: Vec<(&'c str, Rail)> = Vec::new();
        let mut lanes = std::mem::take(&mut self.layout.lanes);
        for lane in &mut lanes {
            let (from, to) = (lane.passage.from.as_str(), lane.passage.to.as_str());
            let lower = if lane.upwards { from } else { to };
            lane.rail = self.rail(&mut rails, lower, lane.x);
            if lane.port.is_none() {
                lane.other_rail = Some(self.rail(&mut rails, to, lane.x + LANE / 2));
            }
            if let Some(pilot) = &lane.passage.pilot {
                lane.pilot = Some(self.rail(&mut rails, pilot.as_str(), lane.x + LANE / 2));
            }
        }
        self.layout.lanes = lanes;
        self.layout.rails = rails.into_iter().map(|(_, rail)| rail).collect();
        let count = i32::try_from(self.layout.rails.len()).unwrap_or(0);
        self.layout.block_foot = RAILS + count * RAIL + 8;
    }

    fn rail(&self, rails: &mut Vec<(&'c str, Rail)>, port: &'c str, joint: i32) -> i32 {
        let place = rails.iter().position(|(known, _)| *known == port).unwrap_or_else(|| {
            let y = RAILS + RAIL * i32::try_from(rails.len()).unwrap_or(0);
            let column = self.columns.get(port).copied().unwrap_or(joint);
            let above = self.upper.contains(port);
            rails.push((port, Rail { y, column, above, joints: BTreeSet::new() }));
            rails.len() - 1
        });
        let Some((_, rail)) = rails.get_mut(place) else { return RAILS };
        rail.joints.insert(joint);
        rail.y
    }

    /// Hoses: straight where both ends share a column, else over a track.
    fn route(&mut self) {
        let mut tracks = 0;
        let foot = if self.layout.blocks.is_empty() { CYLINDERS } else { self.layout.block_foot };
        let bent: Vec<bool> =
            self.ends.iter().map(|(from, to, _)| self.columns.get(from) != self.columns.get(to)).collect();
        let count = bent.iter().filter(|bent| **bent).count();
        let head = foot + 62 + 16 * i32::try_from(count).unwrap_or(0);
        self.layout.base_head = head;
        for ((from, to, hoses), bent) in std::mem::take(&mut self.ends).into_iter().zip(bent) {
            let (Some(start), Some(end)) = (self.end(from), self.end(to)) else { continue };
            let (way, label) = if bent {
                tracks += 1;
                let y = foot + 46 + 16 * (tracks - 1);
                let label = if end.1 > start.1 { end } else { start };
                (vec![start, (start.0, y), (end.0, y), end], (label.0, head - 12))
            } else {
                let upper = start.1.min(end.1);
                let label =
                    if upper == CYLINDERS && !self.layout.blocks.is_empty() { CYLINDERS + 48 } else { upper + 22 };
                (vec![start, end], (start.0, label))
            };
            self.layout.lines.push(Line { hoses, way, label });
        }
    }

    /// Where a hose ends at a port.
    fn end(&self, port: &str) -> Option<(i32, i32)> {
        let x = *self.columns.get(port)?;
        let at_ram = self
            .circuit
            .actuators
            .iter()
            .any(|it| it.cap.as_str() == port || it.rod.as_ref().is_some_and(|rod| rod.as_str() == port));
        let y = match self.block_of(port) {
            _ if at_ram => CYLINDERS,
            Some(_) if self.upper.contains(port) => BLOCKS,
            Some(_) => self.layout.block_foot,
            None => self.layout.base_head,
        };
        Some((x, y))
    }

    fn done(mut self) -> Layout<'c> {
        self.layout.wide = self.cursor + 8;
        self.layout.high = self.layout.base_head + 162;
        self.layout
    }
}
