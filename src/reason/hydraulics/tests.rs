//! The demo's circuits, solved.

use std::path::Path;

use super::*;
use crate::desk::DiskDesk;
use crate::model::quantity::Exact;
use crate::model::{Actuator, Id, Motion};

pub(in crate::reason::hydraulics) fn demo() -> Guide {
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

#[test]
fn reversing_the_current_reverses_the_motion() {
    // Common practice, no source.
    for machine in &HydraulicFacts::of(&demo()).machines {
        for pump in ["canopy-motor-pump", "canopy-hand-pump", "floor-motor-pump"] {
            let (one, other) = (run(pump, Way::Forward), run(pump, Way::Reverse));
            let moved = |operation: &Operation| -> Vec<_> {
                machine.operation(operation).unwrap().actuators.values().map(ActuatorFacts::moves).collect()
            };
            let back: Vec<_> = moved(&one).into_iter().map(|way| way.map(opposite)).collect();
            assert_eq!(moved(&other), back);
        }
    }
}

fn opposite(way: Motion) -> Motion {
    if way == Motion::Extends { Motion::Retracts } else { Motion::Extends }
}

#[test]
fn the_level_falls_by_the_rods() {
    // Common practice, no source: the upper mark is for rods in, the lower for rods out. The volume is elementary: two
    // rods of 25 mm over 420 mm are 412.33 mL, on 196 cm2 they are 21.04 mm; recomputed.
    let facts = HydraulicFacts::of(&demo());
    let levels = &facts.on(&Some(Id::new("dunnock-b"))).unwrap().levels;
    let canopy = levels.iter().find(|level| level.circuit.as_str() == "canopy-circuit").unwrap();
    let near = |value: Exact, figure: Exact| (value - figure).numer().abs() * 1000 < *((value - figure).denom());
    assert!(near(canopy.all.unwrap() * 1_000_000, Exact::new(41_233, 100) + Exact::new(4, 1000)));
    assert!(near(canopy.falls.unwrap() * 1000, Exact::new(21_037, 1000)));
    assert_eq!(canopy.rods.len(), 2);
}

/// One cylinder, both sides joined to the outlet of a pump behind a relief valve of 200 bar.
fn regenerating(load: i128) -> ActuatorFacts {
    let mm = |value: i128| Exact::new(value, 1000);
    let mut net = random_net(2, &[(0, 2, 3, 1)], &[(0, 0, 0)]);
    net.passages[0].opens_at = Some(Exact::from_integer(20_000_000));
    net.rams[0].sizes = Some(Sizes { bore: mm(100), rod: mm(70) });
    net.rams[0].load = super::net::Pull::In;
    net.rams[0].load_force = Some(Exact::from_integer(load));
    net.pumps[0].flow = Some(Exact::new(40, 60_000));
    net.pumps[0].pressure = None;
    operate::operate(&net, &run("pump", Way::Forward)).actuators[&Id::<Actuator>::new("r0")].clone()
}

#[test]
fn both_sides_on_pressure_go_out_on_the_area_of_the_rod() {
    // Elementary, recomputed: a rod of 70 mm has 3848.45 mm2; 40 L/min give 173.23 mm/s, 200 bar give 76.969 kN.
    let one = regenerating(1000);
    assert_eq!(one.does, ActuatorDoes::Regenerates);
    let (speed, force) = (one.speed_alone.unwrap() * 1000, one.force.unwrap());
    assert!(speed > Exact::new(17_322, 100) && speed < Exact::new(17_324, 100), "{speed}");
    assert!(force > Exact::from_integer(76_968) && force < Exact::from_integer(76_970), "{force}");
    // More than that load sinks it: the fluid under the piston goes round and over the relief valve.
    let heavy = regenerating(80_000);
    assert_eq!((heavy.does, heavy.load_moves), (ActuatorDoes::Floats, Some(Motion::Retracts)));
}

/// A random network: a few spaces, one pump over one reservoir, some cylinders.
pub(in crate::reason::hydraulics) fn random_net(
    spaces: usize,
    ways: &[(usize, usize, usize, usize)],
    rams: &[(usize, usize, u8)],
) -> Net {
    use super::net::{Pull, Ram, Source, Through};
    use crate::model::PassageKind;
    const KINDS: [PassageKind; 5] =
        [PassageKind::Open, PassageKind::Check, PassageKind::PilotCheck, PassageKind::Relief, PassageKind::Check];
    let mm = |value: i128| Exact::new(value, 1000);
    let mut net = Net { nodes: spaces + 1, ..Net::default() };
    net.tanks.insert(spaces, Some(Id::new("tank")));
    for node in 0..spaces {
        net.ports.insert(Id::new(format!("p{node}")), node);
    }
    for (index, &(from, to, kind, pilot)) in ways.iter().enumerate() {
        net.passages.push(Through {
            id: Id::new(format!("w{index}")),
            kind: KINDS[kind % KINDS.len()],
            from: from % (spaces + 1),
            to: to % (spaces + 1),
            pilot: Some(pilot % spaces),
            opens_at: Some(Exact::from_integer(1_000_000 * (1 + i128::try_from(pilot).unwrap()))),
        });
    }
    for (index, &(cap, rod, load)) in rams.iter().enumerate() {
        net.rams.push(Ram {
            id: Id::new(format!("r{index}")),
            circuit: Id::new("c"),
            cap: cap % spaces,
            rod: Some(rod % spaces),
            sizes: Some(Sizes { bore: mm(40), rod: mm(25) }),
            stroke: Some(mm(400)),
            load: [Pull::In, Pull::Out, Pull::None][usize::from(load) % 3],
            load_force: Some(Exact::from_integer(500 * i128::from(load))),
        });
    }
    net.pumps.push(Source {
        id: Id::new("pump"),
        circuit: Id::new("c"),
        forward: 0,
        reverse: Some(1),
        suction: Vec::new(),
        tank: spaces,
        forward_does: None,
        reverse_does: None,
        by_hand: false,
        flow: Some(Exact::new(1, 30_000)),
        pressure: Some(Exact::from_integer(12_000_000)),
    });
    net
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(400))]

    /// What runs into a space runs out of it, and nothing moves on more power than the pump gives.
    #[test]
    fn flows_balance_and_energy_never_appears(
        spaces in 2_usize..8,
        ways in proptest::collection::vec((0_usize..9, 0_usize..9, 0_usize..5, 0_usize..9), 0..10),
        rams in proptest::collection::vec((0_usize..8, 0_usize..8, 0_u8..20), 1..4),
        forward in proptest::bool::ANY,
    ) {
        let net = random_net(spaces, &ways, &rams);
        let way = if forward { Way::Forward } else { Way::Reverse };
        let facts = operate::operate(&net, &run("pump", way));
        balance(&net, &facts, forward);
        energy(&net, &facts);
    }
}

/// Sums what runs into each space; the reservoir and what is joined to it give and take freely.
fn balance(net: &Net, facts: &OperationFacts, forward: bool) {
    let (outlet, idle) = if forward { (0, 1) } else { (1, 0) };
    let tank = net.pumps[0].tank;
    let regions = super::regions::Regions::of(net, &[(idle, tank)]);
    let mut into: std::collections::BTreeMap<usize, Exact> = std::collections::BTreeMap::new();
    let mut run_in =
        |node: usize, rate: Exact| *into.entry(regions.region(node)).or_insert_with(|| Exact::from_integer(0)) += rate;
    let mut runs = !facts.flows.is_empty();
    for flow in &facts.flows {
        assert!(flow.rate > Exact::from_integer(0));
        let way = net.passages.iter().find(|way| way.id == flow.passage).unwrap();
        let (from, to) = if flow.backwards { (way.to, way.from) } else { (way.from, way.to) };
        assert!(!flow.backwards || facts.pilots[&way.id], "fluid against a shut check");
        run_in(from, -flow.rate);
        run_in(to, flow.rate);
    }
    for ram in &net.rams {
        let one = &facts.actuators[&ram.id];
        let Some(speed) = one.speed else { continue };
        runs = true;
        let sizes = ram.sizes.unwrap();
        let sense = if one.does == ActuatorDoes::Retracts { Exact::from_integer(-1) } else { Exact::from_integer(1) };
        run_in(ram.cap, -sense * speed * sizes.cap_area().unwrap());
        run_in(ram.rod.unwrap(), sense * speed * sizes.rod_side_area().unwrap());
    }
    if runs {
        run_in(outlet, net.pumps[0].flow.unwrap());
    }
    let reservoir = regions.region(tank);
    for (region, sum) in into {
        assert!(region == reservoir || sum == Exact::from_integer(0), "space {region}: {sum} in {facts:?}");
    }
}

fn energy(net: &Net, facts: &OperationFacts) {
    for ram in &net.rams {
        let one = &facts.actuators[&ram.id];
        let (Some(speed), Some(needs)) = (one.speed_alone, one.needs) else { continue };
        let Some(force) = ram.load_force else { continue };
        let given = needs * net.pumps[0].flow.unwrap();
        let against = match (ram.load, one.does) {
            (super::net::Pull::In, ActuatorDoes::Retracts)
            | (super::net::Pull::Out, ActuatorDoes::Extends | ActuatorDoes::Regenerates) => -force,
            (super::net::Pull::None, _) => Exact::from_integer(0),
            _ => force,
        };
        assert!(given >= against * speed, "{given} W moves {} W", against * speed);
    }
}
