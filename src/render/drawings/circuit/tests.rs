//! The demo's circuits, laid out.

use std::path::Path;

use super::*;
use crate::desk::DiskDesk;
use crate::model::{Guide, Id};
use crate::reason::hydraulics::{HydraulicFacts, Operation, Way};

fn demo() -> Guide {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    crate::read::read(&DiskDesk::open(&folder).unwrap()).guide
}

/// The straight pieces of a line.
fn pieces(line: &Line<'_>) -> Vec<((i32, i32), (i32, i32))> {
    line.way.windows(2).map(|pair| (pair[0].min(pair[1]), pair[0].max(pair[1]))).collect()
}

#[test]
fn every_hose_and_every_passage_is_drawn_once() {
    for circuit in &demo().circuits {
        let drawing = Drawing::of(circuit).unwrap();
        let drawn: usize = drawing.layout.lines.iter().map(|line| line.hoses.len()).sum();
        assert_eq!(drawn, circuit.hoses.len());
        let mut numbers: Vec<usize> = drawing.layout.lanes.iter().map(|lane| lane.number).collect();
        numbers.sort_unstable();
        assert_eq!(numbers, (1..=circuit.passages.len()).collect::<Vec<_>>());
    }
}

#[test]
fn hoses_run_square_and_never_on_each_other() {
    for circuit in &demo().circuits {
        let layout = Drawing::of(circuit).unwrap().layout;
        let all: Vec<_> = layout.lines.iter().flat_map(pieces).collect();
        assert!(all.iter().all(|(from, to)| from.0 == to.0 || from.1 == to.1));
        for (at, one) in all.iter().enumerate() {
            for other in all.iter().skip(at + 1) {
                let upright = one.0.0 == one.1.0 && other.0.0 == other.1.0 && one.0.0 == other.0.0;
                let level = one.0.1 == one.1.1 && other.0.1 == other.1.1 && one.0.1 == other.0.1;
                let apart = one.1 <= other.0 || other.1 <= one.0;
                assert!(!(upright || level) || apart, "{one:?} {other:?}");
            }
        }
    }
}

#[test]
fn labels_and_letters_keep_clear_of_each_other_and_inside() {
    for circuit in &demo().circuits {
        let layout = Drawing::of(circuit).unwrap().layout;
        let room = |line: &Line<'_>| {
            let half = base::label_half(line);
            (line.label.0 - half, line.label.0 + half + 17, line.label.1 - 9, line.label.1 + 9)
        };
        let rooms: Vec<_> = layout.lines.iter().map(room).collect();
        for (at, one) in rooms.iter().enumerate() {
            assert!(one.0 >= 0 && one.1 <= layout.wide && one.2 >= 0 && one.3 <= layout.high, "{one:?}");
            for other in rooms.iter().skip(at + 1) {
                let apart = one.1 <= other.0 || other.1 <= one.0 || one.3 <= other.2 || other.3 <= one.2;
                assert!(apart, "{one:?} {other:?}");
            }
        }
    }
}

#[test]
fn the_figure_of_a_direction_shows_what_is_under_pressure() {
    let guide = demo();
    let facts = HydraulicFacts::of(&guide);
    let circuit = guide.circuits.find("canopy-circuit").unwrap();
    let drawing = Drawing::of(circuit).unwrap();
    let run = |way| {
        let operation = Operation::Run { pump: Id::new("canopy-motor-pump"), way };
        facts.machines[0].operation(&operation).unwrap()
    };
    assert_eq!(drawing.hoses_that(run(Way::Forward), Stands::Pressure), ["CA", "LC", "RC"]);
    assert_eq!(drawing.hoses_that(run(Way::Reverse), Stands::Pressure), ["CB", "HB", "LR", "RR"]);
}

#[test]
fn equal_colours_get_different_patterns_and_keep_their_rings() {
    let guide = demo();
    let circuit = guide.circuits.find("floor-circuit").unwrap();
    let marks = marks::of(circuit);
    for (at, one) in marks.iter().enumerate() {
        for other in marks.iter().skip(at + 1).filter(|other| other.fill == one.fill) {
            assert_ne!(one.dash, other.dash);
        }
    }
    let rings: Vec<u32> = circuit
        .hoses
        .iter()
        .zip(&marks)
        .filter(|(hose, _)| hose.colour.starts_with("pink"))
        .map(|(_, mark)| mark.rings)
        .collect();
    assert_eq!(rings, [0, 1, 2, 3]);
}
