//! Nodes that stand at one pressure, and the one-way ways between them.

use super::bundles::Bundles;
use super::exact::{add, zero};
use super::net::{Net, Node, Through};
use crate::model::PassageKind;
use crate::model::quantity::Exact;

/// What a relief valve opens at, in Pa, where nothing is written.
const UNWRITTEN: Exact = Exact::new_raw(10_000_000, 1);

/// Nodes joined by hoses and open passages.
pub(super) type Region = usize;

/// The machine with its pumps set.
#[derive(Debug, Clone)]
pub(super) struct Regions {
    bundles: Bundles,
    pub(super) edges: Vec<Edge>,
}

/// A way from region to region, that lets through in one sense.
#[derive(Debug, Clone)]
pub(super) struct Edge {
    pub(super) from: Region,
    pub(super) to: Region,
    /// The pressure lost on the way.
    pub(super) costs: Exact,
    /// Index of the passage.
    pub(super) passage: usize,
    /// Through a pilot check that is held open, against its ball.
    pub(super) backwards: bool,
}

/// The cheapest ways from or to one region: what they cost, and the edge next to each region.
#[derive(Debug, Clone, Default)]
pub(super) struct Reach {
    pub(super) cost: Vec<Option<Exact>>,
    pub(super) edge: Vec<Option<usize>>,
    /// Looks at edges.
    pub(super) steps: usize,
}

impl Regions {
    /// Joins what stands open: hoses, open passages, reservoirs, and what the running pump joins.
    pub(super) fn of(net: &Net, joined: &[(Node, Node)]) -> Self {
        let mut bundles = Bundles::alone(net.nodes);
        for line in &net.lines {
            if let [Some(from), Some(to)] = line.ends {
                bundles.join(from, to);
            }
        }
        let open = net.passages.iter().filter(|way| matches!(way.kind, PassageKind::Open | PassageKind::Restrictor));
        for (from, to) in open.map(|way| (way.from, way.to)).chain(net.open.iter().copied()) {
            bundles.join(from, to);
        }
        for (from, to) in joined {
            bundles.join(*from, *to);
        }
        bundles.flatten();
        Self { bundles, edges: Vec::new() }
    }

    /// The region of every node.
    pub(super) fn tops(&self) -> &[Region] {
        self.bundles.tops()
    }

    /// The region of a node.
    pub(super) fn region(&self, node: Node) -> Region {
        self.bundles.top(node)
    }

    /// Lays the one-way ways, with these pilot checks held open.
    pub(super) fn lay(&mut self, net: &Net, held_open: &[bool]) {
        let mut edges = Vec::new();
        for (index, way) in net.passages.iter().enumerate() {
            let (from, to) = (self.region(way.from), self.region(way.to));
            let Some(costs) = costs(way) else { continue };
            if from == to {
                continue;
            }
            edges.push(Edge { from, to, costs, passage: index, backwards: false });
            if way.kind == PassageKind::PilotCheck && held_open.get(index) == Some(&true) {
                edges.push(Edge { from: to, to: from, costs: zero(), passage: index, backwards: true });
            }
        }
        self.edges = edges;
    }

    /// The cheapest ways from a region to all others. What has run into a reservoir does not come out again.
    pub(super) fn reach_from(&self, start: Region, tanks: &[Region]) -> Reach {
        self.reach(&[start], |edge| (edge.from, edge.to), |region| tanks.contains(&region) && region != start)
    }

    /// The cheapest ways from all regions into any reservoir.
    pub(super) fn reach_tanks(&self, tanks: &[Region]) -> Reach {
        self.reach(tanks, |edge| (edge.to, edge.from), |_| false)
    }

    fn reach(&self, starts: &[Region], ends: fn(&Edge) -> (Region, Region), stops: impl Fn(Region) -> bool) -> Reach {
        let size = self.bundles.tops().len();
        let mut reach = Reach { cost: vec![None; size], edge: vec![None; size], steps: 0 };
        for start in starts {
            if let Some(slot) = reach.cost.get_mut(*start) {
                *slot = Some(zero());
            }
        }
        // A cheapest way passes no region twice, so as many rounds as regions are enough.
        for _ in 0..size {
            let mut better = false;
            reach.steps += self.edges.len();
            for (index, edge) in self.edges.iter().enumerate() {
                let (here, there) = ends(edge);
                if !stops(here) {
                    better |= reach.improve(here, there, edge.costs, index);
                }
            }
            if !better {
                break;
            }
        }
        reach
    }
}

impl Reach {
    fn improve(&mut self, here: Region, there: Region, costs: Exact, edge: usize) -> bool {
        let Some(cost) = self.at(here).and_then(|cost| add(cost, costs)) else { return false };
        if self.at(there).is_some_and(|known| known <= cost) {
            return false;
        }
        if let (Some(slot), Some(by)) = (self.cost.get_mut(there), self.edge.get_mut(there)) {
            *slot = Some(cost);
            *by = Some(edge);
        }
        true
    }

    /// What the way to or from a region costs.
    pub(super) fn at(&self, region: Region) -> Option<Exact> {
        self.cost.get(region).copied().flatten()
    }
}

/// What a passage costs; `None` where it is shut in normal running.
fn costs(way: &Through) -> Option<Exact> {
    match way.kind {
        PassageKind::Open | PassageKind::Restrictor | PassageKind::HandValve => None,
        PassageKind::Check | PassageKind::PilotCheck => Some(zero()),
        PassageKind::Relief => Some(way.opens_at.filter(|at| *at > zero()).unwrap_or(UNWRITTEN)),
    }
}
