//! Graphs whose least number of colours is known.

use super::*;

fn graph(edges: impl IntoIterator<Item = (usize, usize)>) -> BTreeSet<[Id<Hose>; 2]> {
    let name = |number: usize| Id::new(format!("h{number:03}"));
    edges.into_iter().map(|(one, other)| [name(one), name(other)]).collect()
}

fn sound(marking: &Marking, pairs: &BTreeSet<[Id<Hose>; 2]>) -> bool {
    pairs.iter().all(|[one, other]| marking.of[one] != marking.of[other])
}

#[test]
fn known_graphs_take_their_number_of_colours() {
    let ring = |size: usize| graph((0..size).map(|at| (at, (at + 1) % size)));
    let all = |size: usize| graph((0..size).flat_map(|one| (0..one).map(move |other| (one, other))));
    // Elementary: rings of even and odd length, complete graphs, Petersen's graph (chromatic number 3).
    let outer = (0..5).map(|at| (at, (at + 1) % 5));
    let petersen = graph(outer.chain((0..5).flat_map(|at| [(at, at + 5), (at + 5, (at + 2) % 5 + 5)])));
    for (pairs, colours) in [(ring(8), 2), (ring(9), 3), (all(10), 10), (petersen, 3), (graph([]), 0)] {
        let marking = marking(&pairs);
        assert_eq!((marking.colours, marking.fewest), (colours, true));
        assert!(sound(&marking, &pairs));
    }
}

#[test]
fn a_machine_of_many_hoses_is_marked_without_a_claim() {
    let pairs = graph((0..400).map(|at| (at, at + 1)));
    let marking = marking(&pairs);
    assert!(sound(&marking, &pairs) && !marking.fewest);
}
