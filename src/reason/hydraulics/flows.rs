//! What runs through the passages: the pump's flow to everything that moves, or over its relief valve.

use std::collections::BTreeMap;

use super::exact::{add, mul, zero};
use super::facts::{ActuatorDoes, Flow};
use super::net::Ram;
use super::ram::{Body, Offer, Solved};
use super::regions::{Edge, Reach, Region};
use super::set::Set;
use crate::model::Motion;
use crate::model::quantity::Exact;

/// The rates, with everything that can move moving at its common speed.
pub(super) fn flows(
    set: &Set<'_>,
    solved: &[Option<(Offer, Solved)>],
    flow: Option<Exact>,
    speed: Option<Exact>,
) -> Vec<Flow> {
    let mut through = Through::default();
    match (speed, flow) {
        (Some(speed), _) => {
            for (ram, solved) in set.net.rams.iter().zip(solved) {
                if let Some((_, solved)) = solved {
                    set.flow_of(ram, solved, speed, &mut through);
                }
            }
        }
        (None, Some(flow)) => {
            let outlet = set.running.as_ref().map(|running| running.outlet);
            for edge in outlet.into_iter().flat_map(|outlet| set.way_out(outlet)) {
                through.take(edge.passage, edge.backwards, flow);
            }
        }
        (None, None) => {}
    }
    let named = through.rates.into_iter().filter_map(|((passage, backwards), rate)| {
        let passage = set.net.passages.get(passage)?.id.clone();
        Some(Flow { passage, backwards, rate })
    });
    named.collect()
}

impl Set<'_> {
    fn flow_of(&self, ram: &Ram, solved: &Solved, speed: Exact, through: &mut Through) -> Option<()> {
        let body = Body::of(ram)?;
        let fills = mul(solved.fills.filter(|_| solved.load_moves.is_none())?, speed)?;
        let cap = self.regions.region(ram.cap);
        let rod = ram.rod.map(|rod| self.regions.region(rod));
        let reach = self.from_pump.as_ref()?;
        let driven = if solved.does.motion() == Some(Motion::Retracts) { rod? } else { cap };
        for edge in self.way_from(reach, driven) {
            through.take(edge.passage, edge.backwards, fills);
        }
        let rod_flow = mul(body.rod_side, speed)?;
        match solved.does {
            ActuatorDoes::Extends => self.flow_out(rod?, rod_flow, through),
            ActuatorDoes::Retracts => self.flow_out(cap, mul(body.cap, speed)?, through),
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
    fn way_from<'r>(&'r self, reach: &'r Reach, region: Region) -> impl Iterator<Item = &'r Edge> {
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
