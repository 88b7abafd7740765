//! The demo's circuits, solved.

use std::path::Path;

use super::*;
use crate::desk::DiskDesk;
use crate::model::quantity::Exact;
use crate::model::{Actuator, Id};

pub(super) fn demo() -> Guide {
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

/// A random network: a few spaces, one pump over one reservoir, some cylinders.
fn random_net(spaces: usize, ways: &[(usize, usize, usize, usize)], rams: &[(usize, usize, u8)]) -> Net {
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
