//! Circles in a graph of names.

use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// Edges by where they begin: where each ends, and what it stands for.
pub type Edges<'g, T> = BTreeMap<&'g str, Vec<(&'g str, T)>>;

/// A circle, edge by edge: where it begins, and what it stands for. The first begins at the smallest name.
pub type Circle<'g, T> = Vec<(&'g str, T)>;

/// Circles of a graph, so that each name that goes in a circle stands in one of them.
pub fn circles<'g, T: Copy>(edges: &Edges<'g, T>) -> Vec<Circle<'g, T>> {
    let mut left = caught(edges);
    let mut circles = Vec::new();
    while let Some(start) = left.pop_first() {
        if let Some(circle) = back_to(edges, start) {
            for (name, _) in &circle {
                left.remove(name);
            }
            circles.push(circle);
        }
    }
    circles
}

/// The names that go in a circle, and those between two circles.
pub fn caught<'g, T>(edges: &Edges<'g, T>) -> BTreeSet<&'g str> {
    let arrows = edges.iter().flat_map(|(from, targets)| targets.iter().map(|(to, _)| (*from, *to))).collect();
    let turned = |arrows: Vec<(&'g str, &'g str)>| arrows.into_iter().map(|(from, to)| (to, from)).collect();
    peeled(turned(peeled(arrows))).into_iter().map(|(from, _)| from).collect()
}

/// The arrows that are left after taking away, again and again, the names that lead nowhere.
fn peeled<'g>(mut arrows: Vec<(&'g str, &'g str)>) -> Vec<(&'g str, &'g str)> {
    let mut ways: BTreeMap<&str, usize> = BTreeMap::new();
    let mut into: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for (from, to) in &arrows {
        *ways.entry(from).or_default() += 1;
        ways.entry(to).or_default();
        into.entry(to).or_default().push(from);
    }
    let mut open: Vec<&str> = ways.iter().filter(|(_, count)| **count == 0).map(|(name, _)| *name).collect();
    while let Some(name) = open.pop() {
        ways.remove(name);
        for from in into.get(name).into_iter().flatten() {
            if let Some(count) = ways.get_mut(from) {
                *count -= 1;
                if *count == 0 {
                    open.push(from);
                }
            }
        }
    }
    arrows.retain(|(_, to)| ways.contains_key(to));
    arrows
}

/// A shortest way from a name back to itself.
fn back_to<'g, T: Copy>(edges: &Edges<'g, T>, start: &'g str) -> Option<Circle<'g, T>> {
    let mut reached_by: BTreeMap<&str, (&str, T)> = BTreeMap::new();
    let mut open = VecDeque::from([start]);
    while let Some(here) = open.pop_front() {
        for (to, what) in edges.get(here).into_iter().flatten() {
            if reached_by.contains_key(to) {
                continue;
            }
            reached_by.insert(to, (here, *what));
            if *to == start {
                return Some(walked_back(&reached_by, start));
            }
            open.push_back(to);
        }
    }
    None
}

fn walked_back<'g, T: Copy>(reached_by: &BTreeMap<&'g str, (&'g str, T)>, start: &'g str) -> Circle<'g, T> {
    let mut circle = Vec::new();
    let mut here = start;
    while let Some((from, what)) = reached_by.get(here) {
        circle.push((*from, *what));
        here = from;
        if here == start {
            break;
        }
    }
    circle.reverse();
    circle
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_circle_is_found_and_a_line_is_none() {
        let edges: Edges<'_, u8> = BTreeMap::from([
            ("a", vec![("b", 1)]),
            ("b", vec![("c", 2), ("d", 3)]),
            ("c", vec![("a", 4)]),
            ("d", vec![("e", 5)]),
            ("f", vec![("f", 6)]),
        ]);
        let found = circles(&edges);
        assert_eq!(found, [vec![("a", 1), ("b", 2), ("c", 4)], vec![("f", 6)]]);
        assert_eq!(caught(&edges).into_iter().collect::<String>(), "abcf", "what leads out of a circle is not in it");
        assert!(circles(&Edges::<u8>::from([("x", vec![("y", 0)])])).is_empty());
    }
}
