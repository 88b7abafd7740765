//! One operation on one machine, as facts.

use std::collections::BTreeMap;

use super::exact::{add, div, mul, zero};
use super::facts::{Act, ActuatorDoes, ActuatorFacts, Operation, OperationFacts, PortState};
use super::flows::flows;
use super::net::{Net, Node, Ram};
use super::ram::{Body, Offer, Solved, solve};
use super::regions::Region;
use super::set::{Set, base};
use crate::model::quantity::Exact;
use crate::model::{Id, Part, Passage, PassageKind};

/// What a cylinder makes of an offer, found anew or known from before.
pub(super) type Solver<'s> = dyn FnMut(usize, &Ram, &Offer) -> Option<Solved> + 's;

/// One operation solved: every cylinder by its place, still without names.
pub(super) struct Run<'n> {
    pub(super) set: Set<'n>,
    pub(super) solved: Vec<Option<(Offer, Solved)>>,
    flow: Option<Exact>,
    /// The speed of all that the pump moves together.
    common: Option<Exact>,
}

impl<'n> Run<'n> {
    pub(super) fn of(net: &'n Net, operation: &Operation, solver: &mut Solver<'_>) -> Self {
        let set = Set::of(net, operation);
        let solved = solved(&set, solver);
        let flow = set.running.as_ref().filter(|running| !running.dry).and_then(|running| running.pump.flow);
        let common = flow.and_then(|flow| shared_speed(flow, &solved));
        Self { set, solved, flow, common }
    }

    /// The area that the pump's flow fills. A load that runs away keeps no speed, and a cylinder without sizes has none
    /// that could be told.
    fn fills(ram: &Ram, solved: &Solved) -> Option<Exact> {
        solved.fills.filter(|_| solved.load_moves.is_none() && ram.sizes.is_some())
    }

    /// What is seen of a cylinder.
    pub(super) fn act(&self, ram: &Ram, solved: &Solved) -> Act {
        let speed = Self::fills(ram, solved).and(self.common);
        Act { does: solved.does, load_moves: solved.load_moves, creeps: false, speed }
    }
}

fn solved(set: &Set<'_>, solver: &mut Solver<'_>) -> Vec<Option<(Offer, Solved)>> {
    let one = |(place, ram): (usize, &Ram)| {
        let offer = set.offer(ram);
        solver(place, ram, &offer).map(|solved| (offer, solved))
    };
    set.net.rams.iter().enumerate().map(one).collect()
}

/// Solves every cylinder anew.
pub(super) fn anew(_: usize, ram: &Ram, offer: &Offer) -> Option<Solved> {
    solve(Body::of(ram)?, offer)
}

/// The facts of one operation.
pub(super) fn operate(net: &Net, operation: &Operation) -> OperationFacts {
    let run = Run::of(net, operation, &mut anew);
    let Run { set, solved, flow, common } = &run;
    let mut facts = OperationFacts {
        operation: operation.clone(),
        circuit: set.running.as_ref().map(|running| running.pump.circuit.clone()),
        spill: set.spill.clone(),
        ports: set.port_states(solved),
        pilots: set.pilots(),
        actuators: BTreeMap::new(),
        flows: flows(set, solved, *flow, *common),
        spills_into: set.spills_into(),
        draws_from: set.running.as_ref().and_then(|running| set.reservoir(set.regions.region(base(running.pump)))),
    };
    for (ram, solved) in net.rams.iter().zip(solved) {
        let Some((_, solved)) = solved else { continue };
        let mut one = set.actuator(ram, solved, run.act(ram, solved));
        one.speed_alone = Run::fills(ram, solved).zip(*flow).and_then(|(area, flow)| div(flow, area));
        one.stroke_time = ram.stroke.zip(one.speed).and_then(|(stroke, speed)| div(stroke, speed));
        one.stroke_time_alone = ram.stroke.zip(one.speed_alone).and_then(|(stroke, speed)| div(stroke, speed));
        facts.actuators.insert(ram.id.clone(), one);
    }
    if *operation == Operation::Standing {
        for (ram, leaks) in net.rams.iter().zip(leaking(net, &mut anew)) {
            if let Some(one) = facts.actuators.get_mut(&ram.id) {
                one.creeps = leaks && one.does != ActuatorDoes::Floats;
            }
        }
    }
    facts
}

/// The cylinders, by their place, that their load moves once standing pumps leak, as they do: what only a pump holds
/// back creeps.
pub(super) fn leaking(net: &Net, solver: &mut Solver<'_>) -> Vec<bool> {
    let leaks: Vec<(Node, Node)> = net
        .pumps
        .iter()
        .flat_map(|pump| std::iter::once(pump.forward).chain(pump.reverse).map(|port| (port, base(pump))))
        .collect();
    let loose = solved(&Set::standing(net, &leaks), solver);
    loose.iter().map(|one| one.as_ref().is_some_and(|(_, solved)| solved.load_moves.is_some())).collect()
}

/// The speed at which everything that the pump moves takes its whole flow.
fn shared_speed(flow: Exact, solved: &[Option<(Offer, Solved)>]) -> Option<Exact> {
    let areas = solved.iter().flatten().filter(|(_, solved)| solved.load_moves.is_none());
    let areas: Vec<Exact> = areas.filter_map(|(_, solved)| solved.fills).collect();
    // Cylinders of one size stand together in most tables: each run of them is one product.
    let runs = areas.chunk_by(|one, other| one == other).filter_map(|run| Some((*run.first()?, run.len())));
    let times = |(area, count): (Exact, usize)| mul(area, Exact::from_integer(i128::try_from(count).ok()?));
    let area = runs.into_iter().try_fold(zero(), |all, run| add(all, times(run)?))?;
    div(flow, area)
}

impl Set<'_> {
    /// The reservoir that takes what leaves a cylinder.
    pub(super) fn returns_to(&self, ram: &Ram, solved: &Solved) -> Option<Id<Part>> {
        let out = match solved.does {
            ActuatorDoes::Extends => ram.rod,
            ActuatorDoes::Retracts => Some(ram.cap),
            _ => None,
        };
        let out = self.regions.region(out?);
        self.reservoir(self.way_out(out).last().map_or(out, |edge| edge.to))
    }

    fn actuator(&self, ram: &Ram, solved: &Solved, act: Act) -> ActuatorFacts {
        ActuatorFacts {
            circuit: ram.circuit.clone(),
            does: act.does,
            load_moves: act.load_moves,
            creeps: act.creeps,
            metered: solved.metered,
            speed: act.speed,
            speed_alone: None,
            stroke_time: None,
            stroke_time_alone: None,
            force: solved.force.filter(|_| ram.sizes.is_some()),
            cap_pressure: solved.fills.map(|_| solved.cap_pressure),
            rod_pressure: solved.fills.map(|_| solved.rod_pressure),
            needs: solved.needs.filter(|_| ram.load_force.is_some() && ram.sizes.is_some()),
            squeezed: solved.squeezed,
            returns_to: self.returns_to(ram, solved),
        }
    }

    fn pilots(&self) -> BTreeMap<Id<Passage>, bool> {
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
        let shut = |(ram, solved): (&Ram, &Option<(Offer, Solved)>)| {
            let (offer, solved) = solved.as_ref()?;
            solved.squeezed?;
            let side = if offer.to_cap.is_some() { ram.rod? } else { ram.cap };
            Some(self.regions.region(side))
        };
        self.net.rams.iter().zip(solved).filter_map(shut).collect()
    }
}
