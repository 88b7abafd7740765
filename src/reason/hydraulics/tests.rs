//! The demo's circuits, solved.

use std::path::Path;

use super::*;
use crate::desk::DiskDesk;
use crate::model::quantity::Exact;
use crate::model::{Actuator, Id};

fn demo() -> Guide {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("content");
    crate::read::read(&DiskDesk::open(&folder).unwrap()).guide
}

fn run(pump: &str, way: Way) -> Operation {
    Operation::Run { pump: Id::new(pump), way }
}

fn does(facts: &MachineHydraulics, operation: &Operation, actuator: &str) -> ActuatorDoes {
    facts.operation(operation).unwrap().actuators[&Id::<Actuator>::new(actuator)].does
}

#[test]
fn every_direction_of_the_demo_does_what_it_is_for() {
    let facts = HydraulicFacts::of(&demo());
    for machine in &facts.machines {
        for (pump, up) in [("canopy-motor-pump", Way::Forward), ("canopy-hand-pump", Way::Forward)] {
            for arm in ["canopy-left", "canopy-right"] {
                assert_eq!(does(machine, &run(pump, up), arm), ActuatorDoes::Extends);
                assert_eq!(does(machine, &run(pump, Way::Reverse), arm), ActuatorDoes::Retracts);
                assert_eq!(does(machine, &run("floor-motor-pump", Way::Forward), arm), ActuatorDoes::Rests);
            }
        }
        for one in ["floor", "leg-1", "leg-2", "leg-3", "leg-4"] {
            assert_eq!(does(machine, &run("floor-motor-pump", Way::Forward), one), ActuatorDoes::Extends);
            assert_eq!(does(machine, &run("floor-motor-pump", Way::Reverse), one), ActuatorDoes::Retracts);
        }
        let standing = machine.operation(&Operation::Standing).unwrap();
        assert!(standing.actuators.values().all(|one| one.does == ActuatorDoes::Rests && !one.creeps));
    }
}

#[test]
fn what_leaves_the_cylinders_meters_the_speed() {
    let facts = HydraulicFacts::of(&demo());
    let b = facts.on(&Some(Id::new("dunnock-b"))).unwrap();
    let left =
        |operation: &Operation| b.operation(operation).unwrap().actuators[&Id::<Actuator>::new("canopy-left")].clone();
    // 1.6 L/min into two pistons of 40 mm: 10.6 mm/s, 39.6 s for 420 mm; recomputed.
    let up = left(&run("canopy-motor-pump", Way::Forward));
    let time = up.stroke_time.unwrap();
    assert!(time > Exact::new(3958, 100) && time < Exact::new(3959, 100), "{time}");
    let down = left(&run("canopy-motor-pump", Way::Reverse));
    assert!(down.metered && down.load_moves.is_none());
}
