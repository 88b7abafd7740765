//! One operation on one machine, as facts.

use std::collections::BTreeMap;

use super::exact::{add, div, zero};
use super::facts::{ActuatorDoes, ActuatorFacts, Operation, OperationFacts, PortState};
use super::flows::flows;
use super::net::{Net, Node, Ram};
use super::ram::{Offer, Solved};
use super::regions::Region;
use super::set::{Set, base};
use crate::model::quantity::Exact;
use crate::model::{Id, Passage, PassageKind};

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
        spills_into: set.spills_into(),
        draws_from: set.running.as_ref().and_then(|running| set.reservoir(set.regions.region(base(running.pump)))),
    };
    let flow = set.running.as_ref().filter(|running| !running.dry).and_then(|running| running.pump.flow);
    let common = flow.and_then(|flow| shared_speed(flow, &solved));
    for (ram, solved) in net.rams.iter().zip(&solved) {
        let Some((_, solved)) = solved else { continue };
        let mut one = set.actuator(ram, solved);
        // A load that runs away keeps no speed, and a cylinder without sizes has none that could be told.
        let fills = solved.fills.filter(|_| one.load_moves.is_none() && ram.sizes.is_some());
        one.speed = fills.and(common);
        one.speed_alone = fills.zip(flow).and_then(|(area, flow)| div(flow, area));
        one.stroke_time = ram.stroke.zip(one.speed).and_then(|(stroke, speed)| div(stroke, speed));
        one.stroke_time_alone = ram.stroke.zip(one.speed_alone).and_then(|(stroke, speed)| div(stroke, speed));
        facts.actuators.insert(ram.id.clone(), one);
    }
    facts.flows = flows(&set, &solved, flow, common);
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

/// The speed at which everything that the pump moves takes its whole flow.
fn shared_speed(flow: Exact, solved: &[Option<(Offer, Solved)>]) -> Option<Exact> {
    let areas = solved.iter().flatten().filter(|(_, solved)| solved.load_moves.is_none());
    let areas = areas.filter_map(|(_, solved)| solved.fills);
    let area = areas.into_iter().try_fold(zero(), add)?;
    div(flow, area)
}

impl Set<'_> {
    fn actuator(&self, ram: &Ram, solved: &Solved) -> ActuatorFacts {
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
