//! Which part of a machine an exchange of two hose ends can change: all the rest does what it did.
//!
//! Fluid couples what lies in one region, at one valve, cylinder or pump. A reservoir couples nothing: what runs into it
//! does not come out again. So the rest is whatever is joined to no changed region but through a reservoir.

use crate::model::{Id, Pump, Side};
use crate::reason::hydraulics::bundles::Bundles;
use crate::reason::hydraulics::net::{Line, Net, Node, Ram, Source, Through};
use crate::reason::hydraulics::regions::Regions;

/// How the nodes of a machine lie together while nothing runs.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Layout {
    /// The region of each node.
    tops: Vec<Node>,
    /// The reservoir that each node is open to, by the inside of the first.
    tanks: Vec<Option<Node>>,
}

/// The part that an exchange can change.
pub(super) struct Touched {
    pub(super) net: Net,
    /// Where its cylinders stand among all of the machine.
    pub(super) rams: Vec<usize>,
}

impl Layout {
    pub(super) fn of(net: &Net) -> Self {
        let tops = Regions::of(net, &[]).tops().to_vec();
        let mut named: Vec<Option<Node>> = vec![None; tops.len()];
        for tank in net.tanks.keys() {
            if let Some(slot) = tops.get(*tank).and_then(|top| named.get_mut(*top)) {
                slot.get_or_insert(*tank);
            }
        }
        let tanks = tops.iter().map(|top| named.get(*top).copied().flatten()).collect();
        Self { tops, tanks }
    }

    fn top(&self, node: Node) -> Node {
        self.tops.get(node).copied().unwrap_or(node)
    }

    fn tank(&self, node: Node) -> Option<Node> {
        self.tanks.get(node).copied().flatten()
    }
}

impl Touched {
    /// What of a machine can do otherwise once it is laid out in another way; `None` where the layout is the same.
    pub(super) fn of(net: &Net, plain: &Layout, crossed: &Layout) -> Option<Self> {
        if plain.tops == crossed.tops {
            return None;
        }
        let bound = Bound::of(net, plain, crossed);
        let mut part =
            Net { machine: net.machine.clone(), nodes: net.nodes, tanks: net.tanks.clone(), ..Net::default() };
        part.lines = (0..net.nodes).map(|node| Line { ends: [Some(crossed.top(node)), Some(node)] }).collect();
        part.passages = net.passages.iter().filter(|way| bound.touches(&through(way))).cloned().collect();
        part.pumps = net.pumps.iter().filter(|pump| bound.touches(&ports_of(pump))).cloned().collect();
        let rams = net.rams.iter().enumerate().filter(|(_, ram)| bound.touches(&chambers(ram)));
        let (places, rams) = rams.map(|(place, ram)| (place, ram.clone())).unzip();
        part.rams = rams;
        let leads = |node: &Node| matches!(net.sides.get(node), Some(Side::Tank | Side::Return));
        let watched = net.ports.iter().filter(|(_, node)| leads(node) && bound.touches(&[**node]));
        part.ports = watched.map(|(id, node)| (Id::clone(id), *node)).collect();
        Some(Self { net: part, rams: places })
    }

    /// True where the exchange can change what a pump does.
    pub(super) fn has(&self, pump: &Id<Pump>) -> bool {
        self.net.pumps.iter().any(|known| known.id == *pump)
    }
}

fn through(way: &Through) -> Vec<Node> {
    [way.from, way.to].into_iter().chain(way.pilot).collect()
}

fn chambers(ram: &Ram) -> Vec<Node> {
    std::iter::once(ram.cap).chain(ram.rod).collect()
}

fn ports_of(pump: &Source) -> Vec<Node> {
    std::iter::once(pump.forward).chain(pump.reverse).chain(pump.suction.iter().copied()).collect()
}

/// Nodes bound together by fluid, whichever way the hoses lie.
struct Bound {
    bundles: Bundles,
    /// Open to the same reservoir both ways.
    neutral: Vec<bool>,
    /// By the top of each bundle: one of its nodes lies in a region that is not as it was.
    changed: Vec<bool>,
}

impl Bound {
    fn of(net: &Net, plain: &Layout, crossed: &Layout) -> Self {
        let neutral = |node| plain.tank(node).is_some() && plain.tank(node) == crossed.tank(node);
        let mut bound = Self {
            bundles: Bundles::alone(net.nodes),
            neutral: (0..net.nodes).map(neutral).collect(),
            changed: vec![false; net.nodes],
        };
        for layout in [plain, crossed] {
            for node in (0..net.nodes).filter(|node| layout.tank(*node).is_none()) {
                bound.bind(&[node, layout.top(node)]);
            }
        }
        net.passages.iter().for_each(|way| bound.bind(&through(way)));
        net.rams.iter().for_each(|ram| bound.bind(&chambers(ram)));
        net.pumps.iter().for_each(|pump| bound.bind(&ports_of(pump)));
        bound.mark(plain, crossed);
        bound
    }

    /// Marks every bundle with a node whose region is not as it was.
    fn mark(&mut self, plain: &Layout, crossed: &Layout) {
        let size = self.changed.len();
        let (mut was, mut is) = (vec![false; size], vec![false; size]);
        for node in (0..size).filter(|node| plain.top(*node) != crossed.top(*node)) {
            for (marks, layout) in [(&mut was, plain), (&mut is, crossed)] {
                if let Some(slot) = marks.get_mut(layout.top(node)) {
                    *slot = true;
                }
            }
        }
        let differs = |node: Node| was.get(plain.top(node)) == Some(&true) || is.get(crossed.top(node)) == Some(&true);
        let differ: Vec<Node> = (0..size).filter(|node| !self.is_neutral(*node) && differs(*node)).collect();
        for node in differ {
            let top = self.bundles.top(node);
            if let Some(slot) = self.changed.get_mut(top) {
                *slot = true;
            }
        }
    }

    fn is_neutral(&self, node: Node) -> bool {
        self.neutral.get(node) == Some(&true)
    }

    /// True where one of some nodes lies in a changed bundle.
    fn touches(&self, nodes: &[Node]) -> bool {
        nodes.iter().any(|node| !self.is_neutral(*node) && self.changed.get(self.bundles.top(*node)) == Some(&true))
    }

    fn bind(&mut self, nodes: &[Node]) {
        let mut bound = nodes.iter().copied().filter(|node| self.neutral.get(*node) != Some(&true));
        let Some(first) = bound.next() else { return };
        bound.for_each(|node| self.bundles.join(first, node));
    }
}

#[cfg(test)]
mod tests;
