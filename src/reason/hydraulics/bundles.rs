//! Nodes that are joined with each other, whatever joins them: bundles that grow.

use super::net::Node;

/// Bundles of nodes; each is named by its lowest node, so that the order of joining changes nothing.
#[derive(Debug, Clone)]
pub(super) struct Bundles {
    above: Vec<Node>,
}

impl Bundles {
    /// So many nodes, each alone.
    pub(super) fn alone(nodes: usize) -> Self {
        Self { above: (0..nodes).collect() }
    }

    /// The lowest node of a node's bundle.
    pub(super) fn top(&self, node: Node) -> Node {
        let mut node = node;
        while let Some(&above) = self.above.get(node) {
            if above == node {
                break;
            }
            node = above;
        }
        node
    }

    pub(super) fn join(&mut self, one: Node, other: Node) {
        let (one, other) = (self.top(one), self.top(other));
        if let Some(slot) = self.above.get_mut(one.max(other)) {
            *slot = one.min(other);
        }
    }

    /// Hangs every node straight on the top of its bundle, so that each later look takes one step.
    pub(super) fn flatten(&mut self) {
        for node in 0..self.above.len() {
            let top = self.top(node);
            if let Some(slot) = self.above.get_mut(node) {
                *slot = top;
            }
        }
    }

    /// What stands above each node; its top, once flat.
    pub(super) fn tops(&self) -> &[Node] {
        &self.above
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_lowest_node_names_a_bundle_in_any_order_of_joining() {
        for joins in [[(4, 2), (2, 3), (0, 1)], [(0, 1), (3, 4), (4, 2)]] {
            let mut bundles = Bundles::alone(5);
            joins.into_iter().for_each(|(one, other)| bundles.join(one, other));
            bundles.flatten();
            assert_eq!(bundles.tops(), [0, 0, 2, 2, 2]);
        }
        assert_eq!(Bundles::alone(2).top(7), 7);
    }
}
