//! The network while one operation lasts: what the pump reaches, what runs off, which pilot checks are open.
//!
//! What is taken for granted: the idle port of a running pump is open to its reservoir; a standing pump lets nothing
//! through; a chamber may be drawn empty (a vacuum holds no load); hoses and restrictors lose no pressure; hand valves
//! are shut. Pilot checks open as soon as their pilot is under pressure, and brake a load that outruns the pump.

use std::cell::RefCell;
use std::collections::BTreeMap;

use super::exact::zero;
use super::facts::{Operation, Spill, Way};
use super::net::{Net, Node, Pull, Ram, Source};
use super::ram::Offer;
use super::regions::{Edge, Reach, Region, Regions};
use crate::model::quantity::Exact;
use crate::model::{Id, Part, PassageKind};

/// The pump that runs, and where its ports lie.
pub(super) struct Running<'n> {
    pub(super) pump: &'n Source,
    pub(super) outlet: Region,
    pub(super) dry: bool,
}

/// The network while an operation lasts.
pub(super) struct Set<'n> {
    pub(super) net: &'n Net,
    pub(super) regions: Regions,
    pub(super) tanks: Vec<Region>,
    pub(super) running: Option<Running<'n>>,
    pub(super) held_open: Vec<bool>,
    pub(super) from_pump: Option<Reach>,
    pub(super) to_tanks: Reach,
    pub(super) spill: Spill,
    pub(super) most: Option<Exact>,
    /// Regions with a chamber that a load presses on.
    weighed: Vec<bool>,
    /// The ways from a region that cylinders share on their rod side, found once.
    around: RefCell<BTreeMap<Region, Reach>>,
    /// Looks at nodes and passages so far.
    pub(super) steps: usize,
}

/// What a running pump joins: its idle port and its suction with the inside of its reservoir.
fn inside(pump: &Source, idle: Option<Node>) -> Vec<(Node, Node)> {
    let base = base(pump);
    idle.into_iter().chain(pump.suction.iter().skip(1).copied()).map(|node| (node, base)).collect()
}

/// Where a pump draws from: its suction port, or the reservoir it sits on.
pub(super) fn base(pump: &Source) -> Node {
    pump.suction.first().copied().unwrap_or(pump.tank)
}

/// The regions with a chamber that a load presses on.
fn weighed(net: &Net, regions: &Regions) -> Vec<bool> {
    let mut weighed = vec![false; net.nodes];
    for ram in &net.rams {
        let node = match ram.load {
            Pull::In => Some(ram.cap),
            Pull::Out => ram.rod,
            Pull::None => None,
        };
        if let Some(slot) = node.and_then(|node| weighed.get_mut(regions.region(node))) {
            *slot = true;
        }
    }
    weighed
}

impl<'n> Set<'n> {
    pub(super) fn of(net: &'n Net, operation: &Operation) -> Self {
        let pump = match operation {
            Operation::Run { pump, way } => net.pumps.iter().find(|one| one.id == *pump).map(|pump| (pump, *way)),
            Operation::Standing => None,
        };
        let ports = pump.and_then(|(pump, way)| match way {
            Way::Forward => Some((pump, pump.forward, pump.reverse)),
            Way::Reverse => pump.reverse.map(|reverse| (pump, reverse, Some(pump.forward))),
        });
        let joined: Vec<(Node, Node)> = ports.into_iter().flat_map(|(pump, _, idle)| inside(pump, idle)).collect();
        Self::new(net, &joined, ports.map(|(pump, outlet, _)| (pump, outlet)))
    }

    fn new(net: &'n Net, joined: &[(Node, Node)], runs: Option<(&'n Source, Node)>) -> Self {
        let regions = Regions::of(net, joined);
        let mut tanks: Vec<Region> = net.tanks.keys().map(|tank| regions.region(*tank)).collect();
        tanks.sort_unstable();
        tanks.dedup();
        let running = runs.map(|(pump, outlet)| {
            let dry = !tanks.contains(&regions.region(base(pump)));
            Running { pump, outlet: regions.region(outlet), dry }
        });
        let to_tanks = Reach::default();
        let held_open = vec![false; net.passages.len()];
        let (spill, most) = (Spill::Standing, None);
        let (weighed, around) = (weighed(net, &regions), RefCell::default());
        let mut set = Self {
            net,
            regions,
            tanks,
            running,
            held_open,
            from_pump: None,
            to_tanks,
            spill,
            most,
            weighed,
            around,
            steps: net.nodes,
        };
        set.settle();
        set
    }

    /// All pumps standing, with these nodes joined.
    pub(super) fn standing(net: &'n Net, joined: &[(Node, Node)]) -> Self {
        Self::new(net, joined, None)
    }

    /// Opens pilot checks until no further one opens. One that has opened stays open: it brakes, it does not shut.
    fn settle(&mut self) {
        for _ in 0..=self.net.passages.len() {
            self.trace();
            let pressed: Vec<bool> = self
                .net
                .passages
                .iter()
                .zip(&self.held_open)
                .map(|(way, open)| *open || self.opens(way.pilot))
                .collect();
            if pressed == self.held_open {
                break;
            }
            self.held_open = pressed;
        }
    }

    /// Finds what the pump reaches and what runs off, as the pilot checks stand.
    fn trace(&mut self) {
        self.regions.lay(self.net, &self.held_open);
        self.to_tanks = self.regions.reach_tanks(&self.tanks);
        self.steps += self.to_tanks.steps;
        (self.from_pump, self.spill, self.most) = (None, Spill::Standing, None);
        let Some(running) = &self.running else { return };
        if running.dry {
            self.spill = Spill::Dry;
            return;
        }
        let outlet = running.outlet;
        self.spill = match self.to_tanks.at(outlet) {
            Some(at) if at == zero() => Spill::Free,
            Some(at) => self.relief(outlet, at),
            None => Spill::Nothing,
        };
        let relief = if let Spill::Relief { at, .. } = &self.spill { Some(*at) } else { None };
        self.most = relief.into_iter().chain(running.pump.pressure).min();
        if self.spill != Spill::Free {
            let reach = self.regions.reach_from(outlet, &self.tanks);
            self.steps += reach.steps;
            self.from_pump = Some(reach);
        }
    }

    /// The first relief valve on the pump's way out.
    fn relief(&self, outlet: Region, at: Exact) -> Spill {
        let mut here = outlet;
        for _ in 0..self.net.nodes {
            let edge = self.to_tanks.edge.get(here).copied().flatten();
            let Some(edge) = edge.and_then(|edge| self.regions.edges.get(edge)) else { break };
            let passage = self.net.passages.get(edge.passage);
            if let Some(way) = passage.filter(|way| way.kind == PassageKind::Relief) {
                return Spill::Relief { at, passage: way.id.clone() };
            }
            here = edge.to;
        }
        Spill::Nothing
    }

    fn opens(&self, pilot: Option<Node>) -> bool {
        pilot.is_some_and(|pilot| {
            let region = self.regions.region(pilot);
            self.pressed(region).is_some() || self.loaded(region)
        })
    }

    /// The pressure lost from the pump to a region; `None` where no pressure gets there.
    pub(super) fn pressed(&self, region: Region) -> Option<Exact> {
        let lost = self.from_pump.as_ref()?.at(region)?;
        let gets_there = self.most.is_none_or(|most| lost < most) && !self.tanks.contains(&region);
        gets_there.then_some(lost)
    }

    /// True where a load presses on a region that is shut in.
    pub(super) fn loaded(&self, region: Region) -> bool {
        self.weighed.get(region) == Some(&true) && self.to_tanks.at(region) != Some(zero())
    }

    /// What the network offers a cylinder.
    pub(super) fn offer(&self, ram: &Ram) -> Offer {
        let (cap, rod) = (self.regions.region(ram.cap), ram.rod.map(|rod| self.regions.region(rod)));
        let (to_cap, to_rod) = (self.pressed(cap), rod.and_then(|rod| self.pressed(rod)));
        let across = rod.filter(|_| to_cap.is_some() && to_rod.is_some());
        Offer {
            to_cap,
            to_rod,
            one_space: rod == Some(cap),
            cap_opens: self.to_tanks.at(cap),
            rod_opens: rod.map_or(Some(zero()), |rod| self.to_tanks.at(rod)),
            across: across.and_then(|rod| self.lost_between(rod, cap)),
            most: self.most,
            cap_braked: self.braked(cap),
            rod_braked: rod.is_some_and(|rod| self.braked(rod)),
        }
    }

    /// The pressure lost on the way between two regions.
    fn lost_between(&self, from: Region, to: Region) -> Option<Exact> {
        let mut around = self.around.borrow_mut();
        around.entry(from).or_insert_with(|| self.regions.reach_from(from, &self.tanks)).at(to)
    }

    /// True where the way out of a region leads through a pilot check held open by the pump.
    fn braked(&self, region: Region) -> bool {
        self.way_out(region).any(|edge| {
            let pilot = self.net.passages.get(edge.passage).and_then(|way| way.pilot);
            edge.backwards && pilot.is_some_and(|pilot| self.pressed(self.regions.region(pilot)).is_some())
        })
    }

    /// The edges from a region to the reservoir that takes its fluid.
    pub(super) fn way_out(&self, region: Region) -> impl Iterator<Item = &Edge> {
        let next = move |here: &Region| {
            let edge = self.to_tanks.edge.get(*here).copied().flatten()?;
            self.regions.edges.get(edge).map(|edge| edge.to)
        };
        let stops = std::iter::successors(Some(region), next).take(self.net.nodes);
        stops
            .filter_map(|here| self.to_tanks.edge.get(here).copied().flatten())
            .filter_map(|edge| self.regions.edges.get(edge))
    }

    pub(super) fn reservoir(&self, region: Region) -> Option<Id<Part>> {
        self.net.tanks.iter().find(|(tank, _)| self.regions.region(**tank) == region).and_then(|(_, part)| part.clone())
    }

    /// The reservoir that takes what the pump spills.
    pub(super) fn spills_into(&self) -> Option<Id<Part>> {
        let outlet = self.running.as_ref().filter(|running| !running.dry)?.outlet;
        self.to_tanks.at(outlet)?;
        self.reservoir(self.way_out(outlet).last().map_or(outlet, |edge| edge.to))
    }
}
