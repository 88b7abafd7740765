//! One operation on one machine.
//!
//! What is taken for granted: the idle port of a running pump is open to its reservoir; a standing pump lets nothing
//! through; a chamber may be drawn empty (a vacuum holds no load); hoses and restrictors lose no pressure; hand valves
//! are shut. Pilot checks open as soon as their pilot is under pressure, and brake a load that outruns the pump.

use std::collections::BTreeMap;

use super::exact::{add, div, zero};
use super::facts::{ActuatorDoes, ActuatorFacts, Flow, Operation, OperationFacts, PortState, Spill, Way};
use super::net::{Net, Node, Source};
use super::ram::{Body, Offer, Solved, solve};
use super::regions::{Reach, Region, Regions};
use crate::model::quantity::Exact;
use crate::model::{Id, Motion, Part, PassageKind};

/// The pump that runs, and where its ports lie.
struct Running<'n> {
    pump: &'n Source,
    outlet: Region,
    dry: bool,
}

/// The network while an operation lasts.
struct Set<'n> {
    net: &'n Net,
    regions: Regions,
    tanks: Vec<Region>,
    running: Option<Running<'n>>,
    held_open: Vec<bool>,
    from_pump: Option<Reach>,
    to_tanks: Reach,
    spill: Spill,
    most: Option<Exact>,
}

/// The facts of one operation.
pub(super) fn operate(net: &Net, operation: &Operation) -> OperationFacts {
    let set = Set::of(net, operation);
    let solved: Vec<Option<(Offer, Solved)>> = net.rams.iter().map(|ram| set.ram(ram)).collect();
    let mut facts = OperationFacts {
        operation: operation.clone(),
        circuit: set.running.as_ref().map(|running| running.pump.circuit.clone()),
        spill: set.spill.clone(),
        ports: set.port_states(&solved),
        pilots: set.pilots(),
        actuators: BTreeMap::new(),
        flows: Vec::new(),
        draws_from: set.running.as_ref().and_then(|running| set.reservoir(set.regions.region(base(running.pump)))),
    };
    let flow = set.running.as_ref().filter(|running| !running.dry).and_then(|running| running.pump.flow);
    let common = flow.and_then(|flow| shared_speed(flow, &solved));
    for (ram, solved) in net.rams.iter().zip(&solved) {
        let Some((_, solved)) = solved else { continue };
        let mut one = set.actuator(ram, solved);
        one.speed = solved.fills.and(common).filter(|_| one.load_moves.is_none());
        one.speed_alone = solved.fills.zip(flow).and_then(|(area, flow)| div(flow, area));
        one.speed_alone = one.speed_alone.filter(|_| one.load_moves.is_none() && ram.sizes.is_some());
        one.speed = one.speed.filter(|_| ram.sizes.is_some());
        one.stroke_time = ram.stroke.zip(one.speed).and_then(|(stroke, speed)| div(stroke, speed));
        one.stroke_time_alone = ram.stroke.zip(one.speed_alone).and_then(|(stroke, speed)| div(stroke, speed));
        facts.actuators.insert(ram.id.clone(), one);
    }
    facts.flows = set.flows(&solved, flow, common);
    if *operation == Operation::Standing {
        mark_creeping(net, &mut facts);
    }
    facts
}

/// A pump that stands leaks: what only it holds back creeps.
fn mark_creeping(net: &Net, facts: &mut OperationFacts) {
    let leaks: Vec<(Node, Node)> = net
        .pumps
        .iter()
        .flat_map(|pump| std::iter::once(pump.forward).chain(pump.reverse).map(|port| (port, base(pump))))
        .collect();
    let leaking = Set::standing(net, &leaks);
    for ram in &net.rams {
        let Some(one) = facts.actuators.get_mut(&ram.id) else { continue };
        let loose = leaking.ram(ram).and_then(|(_, solved)| solved.load_moves);
        one.creeps = one.does != ActuatorDoes::Floats && loose.is_some();
    }
}

/// What a running pump joins: its idle port and its suction with the inside of its reservoir.
fn inside(pump: &Source, idle: Option<Node>) -> Vec<(Node, Node)> {
    let base = base(pump);
    idle.into_iter().chain(pump.suction.iter().skip(1).copied()).map(|node| (node, base)).collect()
}

/// Where a pump draws from: its suction port, or the reservoir it sits on.
fn base(pump: &Source) -> Node {
    pump.suction.first().copied().unwrap_or(pump.tank)
}

/// The speed at which everything that the pump moves takes its whole flow.
fn shared_speed(flow: Exact, solved: &[Option<(Offer, Solved)>]) -> Option<Exact> {
    let areas = solved.iter().flatten().filter_map(|(_, solved)| solved.fills);
    let area = areas.into_iter().try_fold(zero(), add)?;
    div(flow, area)
}

impl<'n> Set<'n> {
    fn of(net: &'n Net, operation: &Operation) -> Self {
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
        let to_tanks = regions.reach_tanks(&tanks);
        let held_open = vec![false; net.passages.len()];
        let (spill, most) = (Spill::Standing, None);
        let mut set = Self { net, regions, tanks, running, held_open, from_pump: None, to_tanks, spill, most };
        set.settle();
        set
    }

    /// All pumps standing, with these nodes joined.
    fn standing(net: &'n Net, joined: &[(Node, Node)]) -> Self {
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
        (self.from_pump, self.spill, self.most) = (None, Spill::Standing, None);
        let Some(running) = &self.running else { return };
        if running.dry {
            self.spill = Spill::Dry;
            return;
        }
        let outlet = running.outlet;
        self.most = running.pump.pressure;
        self.spill = match self.to_tanks.at(outlet) {
            Some(at) if at == zero() => Spill::Free,
            Some(at) => self.relief(outlet, at),
            None => Spill::Nothing,
        };
        if let Spill::Relief { at, .. } = &self.spill {
            self.most = Some(*at);
        }
        if self.spill != Spill::Free {
            self.from_pump = Some(self.regions.reach_from(outlet, &self.tanks));
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
    fn pressed(&self, region: Region) -> Option<Exact> {
        let lost = self.from_pump.as_ref()?.at(region)?;
        let gets_there = self.most.is_none_or(|most| lost < most) && !self.tanks.contains(&region);
        gets_there.then_some(lost)
    }

    /// True where a load presses on a region that is shut in.
    fn loaded(&self, region: Region) -> bool {
        use super::net::Pull;
        if self.to_tanks.at(region) == Some(zero()) {
            return false;
        }
        self.net.rams.iter().any(|ram| match ram.load {
            Pull::In => self.regions.region(ram.cap) == region,
            Pull::Out => ram.rod.is_some_and(|rod| self.regions.region(rod) == region),
            Pull::None => false,
        })
    }

    fn ram(&self, ram: &super::net::Ram) -> Option<(Offer, Solved)> {
        let (cap, rod) = (self.regions.region(ram.cap), ram.rod.map(|rod| self.regions.region(rod)));
        let across = rod.filter(|_| self.from_pump.is_some());
        let offer = Offer {
            to_cap: self.pressed(cap),
            to_rod: rod.and_then(|rod| self.pressed(rod)),
            cap_opens: self.to_tanks.at(cap),
            rod_opens: rod.map_or(Some(zero()), |rod| self.to_tanks.at(rod)),
            across: across.and_then(|rod| self.regions.reach_from(rod, &self.tanks).at(cap)),
            most: self.most,
            cap_braked: self.braked(cap),
            rod_braked: rod.is_some_and(|rod| self.braked(rod)),
        };
        let solved = solve(Body::of(ram)?, &offer)?;
        Some((offer, solved))
    }

    /// True where the way out of a region leads through a pilot check held open by the pump.
    fn braked(&self, region: Region) -> bool {
        self.way_out(region).any(|edge| {
            let pilot = self.net.passages.get(edge.passage).and_then(|way| way.pilot);
            edge.backwards && pilot.is_some_and(|pilot| self.pressed(self.regions.region(pilot)).is_some())
        })
    }

    /// The edges from a region to the reservoir that takes its fluid.
    fn way_out(&self, region: Region) -> impl Iterator<Item = &super::regions::Edge> {
        let next = move |here: &Region| {
            let edge = self.to_tanks.edge.get(*here).copied().flatten()?;
            self.regions.edges.get(edge).map(|edge| edge.to)
        };
        let stops = std::iter::successors(Some(region), next).take(self.net.nodes);
        stops
            .filter_map(|here| self.to_tanks.edge.get(here).copied().flatten())
            .filter_map(|edge| self.regions.edges.get(edge))
    }

    fn reservoir(&self, region: Region) -> Option<Id<Part>> {
        self.net.tanks.iter().find(|(tank, _)| self.regions.region(**tank) == region).and_then(|(_, part)| part.clone())
    }

    fn actuator(&self, ram: &super::net::Ram, solved: &Solved) -> ActuatorFacts {
        let out = match solved.does {
            ActuatorDoes::Extends => ram.rod,
            ActuatorDoes::Retracts => Some(ram.cap),
            _ => None,
        };
        let out = out.map(|node| self.regions.region(node));
        let last = out.map(|region| self.way_out(region).last().map_or(region, |edge| edge.to));
        ActuatorFacts {
            circuit: ram.circuit.clone(),
            does: solved.does,
            load_moves: solved.load_moves,
            creeps: false,
            metered: solved.metered,
            speed: None,
            speed_alone: None,
            stroke_time: None,
            stroke_time_alone: None,
            force: solved.force.filter(|_| ram.sizes.is_some()),
            cap_pressure: solved.fills.map(|_| solved.cap_pressure),
            rod_pressure: solved.fills.map(|_| solved.rod_pressure),
            needs: solved.needs.filter(|_| ram.load_force.is_some() && ram.sizes.is_some()),
            squeezed: solved.squeezed,
            returns_to: last.and_then(|region| self.reservoir(region)),
        }
    }

    fn pilots(&self) -> BTreeMap<Id<crate::model::Passage>, bool> {
        let checks = self.net.passages.iter().zip(&self.held_open);
        checks
            .filter(|(way, _)| way.kind == PassageKind::PilotCheck)
            .map(|(way, open)| (way.id.clone(), *open))
            .collect()
    }

    fn port_states(&self, solved: &[Option<(Offer, Solved)>]) -> BTreeMap<Id<crate::model::Port>, PortState> {
        let squeezed = self.squeezed_regions(solved);
        let state = |node: Node| {
            let region = self.regions.region(node);
            if self.pressed(region).is_some() {
                PortState::Pressure
            } else if self.to_tanks.at(region) == Some(zero()) {
                PortState::Return
            } else if squeezed.contains(&region) {
                PortState::Squeezed
            } else if self.loaded(region) {
                PortState::Holds
            } else {
                PortState::Shut
            }
        };
        self.net.ports.iter().map(|(id, node)| (id.clone(), state(*node))).collect()
    }

    fn squeezed_regions(&self, solved: &[Option<(Offer, Solved)>]) -> Vec<Region> {
        let shut = |(ram, solved): (&super::net::Ram, &Option<(Offer, Solved)>)| {
            let (offer, solved) = solved.as_ref()?;
            solved.squeezed?;
            let side = if offer.to_cap.is_some() { ram.rod? } else { ram.cap };
            Some(self.regions.region(side))
        };
        self.net.rams.iter().zip(solved).filter_map(shut).collect()
    }

    /// What runs through the passages: the pump's flow to everything that moves, or over its relief valve.
    fn flows(&self, solved: &[Option<(Offer, Solved)>], flow: Option<Exact>, speed: Option<Exact>) -> Vec<Flow> {
        let mut through = Through::default();
        match (speed, flow) {
            (Some(speed), _) => {
                for (ram, solved) in self.net.rams.iter().zip(solved) {
                    if let Some((_, solved)) = solved {
                        self.flow_of(ram, solved, speed, &mut through);
                    }
                }
            }
            (None, Some(flow)) => {
                let outlet = self.running.as_ref().map(|running| running.outlet);
                for edge in outlet.into_iter().flat_map(|outlet| self.way_out(outlet)) {
                    through.take(edge.passage, edge.backwards, flow);
                }
            }
            (None, None) => {}
        }
        let named = through.rates.into_iter().filter_map(|((passage, backwards), rate)| {
            let passage = self.net.passages.get(passage)?.id.clone();
            Some(Flow { passage, backwards, rate })
        });
        named.collect()
    }

    fn flow_of(&self, ram: &super::net::Ram, solved: &Solved, speed: Exact, through: &mut Through) -> Option<()> {
        let body = Body::of(ram)?;
        let fills = super::exact::mul(solved.fills?, speed)?;
        let cap = self.regions.region(ram.cap);
        let rod = ram.rod.map(|rod| self.regions.region(rod));
        let reach = self.from_pump.as_ref()?;
        let driven = if solved.does.motion() == Some(Motion::Retracts) { rod? } else { cap };
        for edge in self.way_from(reach, driven) {
            through.take(edge.passage, edge.backwards, fills);
        }
        let rod_flow = super::exact::mul(body.rod_side, speed)?;
        match solved.does {
            ActuatorDoes::Extends => self.flow_out(rod?, rod_flow, through),
            ActuatorDoes::Retracts => self.flow_out(cap, super::exact::mul(body.cap, speed)?, through),
            ActuatorDoes::Regenerates => {
                let around = self.regions.reach_from(rod?, &self.tanks);
                for edge in self.way_from(&around, cap) {
                    through.take(edge.passage, edge.backwards, rod_flow);
                }
            }
            _ => {}
        }
        Some(())
    }

    fn flow_out(&self, region: Region, rate: Exact, through: &mut Through) {
        for edge in self.way_out(region) {
            through.take(edge.passage, edge.backwards, rate);
        }
    }

    /// The edges from where a reach starts to a region, last first.
    fn way_from<'r>(&'r self, reach: &'r Reach, region: Region) -> impl Iterator<Item = &'r super::regions::Edge> {
        let edge_at =
            move |here: Region| reach.edge.get(here).copied().flatten().and_then(|edge| self.regions.edges.get(edge));
        std::iter::successors(edge_at(region), move |edge| edge_at(edge.from)).take(self.net.nodes)
    }
}

/// The rates through passages, added up.
#[derive(Default)]
struct Through {
    rates: BTreeMap<(usize, bool), Exact>,
}

impl Through {
    fn take(&mut self, passage: usize, backwards: bool, rate: Exact) {
        let slot = self.rates.entry((passage, backwards)).or_insert_with(zero);
        if let Some(sum) = add(*slot, rate) {
            *slot = sum;
        }
    }
}
