//! What is solved in part is what is solved whole.

use super::*;
use crate::model::Id;
use crate::reason::hydraulics::crossings::effect::{Crossed, Outlet, Plain, difference};
use crate::reason::hydraulics::crossings::exchange::Exchanges;
use crate::reason::hydraulics::crossings::{ends, exchanged, pairs};
use crate::reason::hydraulics::tests::{demo, random_net};
use crate::reason::hydraulics::{HydraulicFacts, Operation, OperationFacts, PortState, operate, operations};

/// A crossed operation solved whole, as what could be otherwise.
fn whole(
    net: &Net,
    crossed: &OperationFacts,
) -> (Vec<(usize, crate::reason::hydraulics::crossings::effect::Watched)>, Outlet) {
    let acts = net.rams.iter().enumerate().filter_map(|(place, ram)| {
        let one = crossed.actuators.get(&ram.id)?;
        Some((place, (one.act(), one.returns_to.clone())))
    });
    let leads = |port: &Id<_>| matches!(net.sides.get(&net.ports[port]), Some(Side::Tank | Side::Return));
    let pressed = crossed.ports.iter().filter(|(port, state)| **state == PortState::Pressure && leads(port));
    let outlet = Outlet {
        spill: crossed.spill.clone(),
        into: crossed.spills_into.clone(),
        pressed: pressed.map(|(port, _)| port.clone()).collect(),
    };
    (acts.collect(), outlet)
}

#[test]
fn every_crossing_of_the_demo_is_what_the_whole_machine_does() {
    let guide = demo();
    let mut told = 0;
    for facts in &HydraulicFacts::of(&guide).machines {
        let net = Net::of(&guide, &facts.machine);
        let ends = ends::ends(&guide, &net);
        let mut exchanges = Exchanges::of(net.clone(), facts);
        for (one, other) in pairs(&ends) {
            let crossed = exchanged(&net, one, other);
            let whole = facts.operations.iter().filter_map(|plain| {
                let (acts, outlet) = whole(&net, &operate::operate(&crossed, &plain.operation));
                let flow = (plain.operation != Operation::Standing).then_some(&outlet);
                difference(&Plain::of(&net, plain), &Crossed { acts: &acts, flow })
            });
            let whole: Vec<_> = whole.collect();
            assert_eq!(*exchanges.differences(one, other), whole, "{:?} {:?}", one.end, other.end);
            told += whole.len();
        }
    }
    assert!(told > 300, "{told}");
}

#[test]
fn ways_of_joining_are_worked_out_once() {
    let guide = demo();
    let facts = &HydraulicFacts::of(&guide).machines[0];
    let net = Net::of(&guide, &facts.machine);
    let ends = ends::ends(&guide, &net);
    let find = |hose: &str, from: bool| {
        let end = if from { crate::reason::End::From } else { crate::reason::End::To };
        ends.iter().find(|one| one.end.hose.as_str() == hose && one.end.end == end).unwrap()
    };
    let mut exchanges = Exchanges::of(net, facts);
    let here = exchanges.differences(find("lc", true), find("lr", true));
    let steps = exchanges.steps;
    assert!(steps > 0 && !here.is_empty());
    // Exchanged at the other end, the same ports are joined.
    assert_eq!(here, exchanges.differences(find("lr", false), find("lc", false)));
    assert_eq!(exchanges.steps, steps);
    exchanges.differences(find("lc", true), find("rr", true));
    assert!(exchanges.steps > steps);
}

/// Cylinders that each have a pump of their own, over one reservoir.
fn loops(count: usize) -> Net {
    let mut net = Net::default();
    for at in 0..count {
        let mut one = random_net(6, &[(0, 4, 3, 1), (2, 4, 3, 1)], &[(1, 3, 1)]);
        let moved = |node: Node| if node == 6 { 0 } else { 1 + at * 6 + node };
        one.passages.iter_mut().for_each(|way| (way.from, way.to, way.pilot) = (moved(way.from), 0, None));
        one.rams.iter_mut().for_each(|ram| (ram.cap, ram.rod) = (moved(1), Some(moved(3))));
        one.rams.iter_mut().for_each(|ram| ram.id = Id::new(format!("r{at}")));
        for mut pump in one.pumps {
            (pump.forward, pump.reverse, pump.tank) = (moved(0), Some(moved(2)), 0);
            pump.id = Id::new(format!("pump-{at}"));
            net.pumps.push(pump);
        }
        net.lines.extend([(0, 1), (2, 3)].map(|(from, to)| Line { ends: [Some(moved(from)), Some(moved(to))] }));
        net.passages.append(&mut one.passages);
        net.rams.append(&mut one.rams);
    }
    net.tanks.insert(0, Some(Id::new("tank")));
    net.nodes = 1 + count * 6;
    net
}

#[test]
fn two_loops_of_twenty_are_solved_and_the_others_left() {
    let net = loops(20);
    let plain = Layout::of(&net);
    let mut crossed = net.clone();
    let here = crossed.lines[4].ends[1];
    crossed.lines[4].ends[1] = crossed.lines[10].ends[1];
    crossed.lines[10].ends[1] = here;
    let touched = Touched::of(&net, &plain, &Layout::of(&crossed)).unwrap();
    assert_eq!(touched.rams, [2, 5]);
    assert_eq!((touched.net.pumps.len(), touched.net.passages.len()), (2, 4));
    assert!(Touched::of(&net, &plain, &plain).is_none());
}

proptest::proptest! {
    #![proptest_config(proptest::prelude::ProptestConfig::with_cases(600))]

    /// Two random machines over two reservoirs, their hoses laid one way and another.
    #[test]
    fn what_is_left_alone_does_what_it_did(
        ways in proptest::collection::vec((0_usize..14, 0_usize..14, 0_usize..5, 0_usize..12), 0..12),
        rams in proptest::collection::vec((0_usize..12, 0_usize..12, 0_u8..20), 1..5),
        lines in proptest::collection::vec((0_usize..12, 0_usize..12), 2..8),
        (one, other) in (0_usize..8, 0_usize..8),
    ) {
        let mut net = random_net(12, &ways, &rams);
        net.tanks.insert(13, Some(Id::new("second")));
        net.nodes = 14;
        let mut second = net.pumps[0].clone();
        (second.id, second.forward, second.reverse, second.tank) = (Id::new("second"), 6, Some(7), 13);
        net.pumps.push(second);
        net.lines = lines.iter().map(|(from, to)| Line { ends: [Some(*from), Some(*to)] }).collect();
        let plain = Layout::of(&net);
        let mut crossed = net.clone();
        let (one, other) = (one % lines.len(), other % lines.len());
        let (here, there) = (net.lines[one].ends[1], net.lines[other].ends[1]);
        (crossed.lines[one].ends[1], crossed.lines[other].ends[1]) = (there, here);
        let touched = Touched::of(&crossed, &plain, &Layout::of(&crossed));
        let part = |place: usize| touched.as_ref().and_then(|it| it.rams.iter().position(|known| *known == place));
        for operation in operations(&net) {
            let (before, after) = (operate::operate(&net, &operation), operate::operate(&crossed, &operation));
            let solved = touched.as_ref().map(|it| operate::operate(&it.net, &operation));
            for (place, ram) in net.rams.iter().enumerate() {
                let source = if part(place).is_some() { solved.as_ref().unwrap() } else { &before };
                proptest::prop_assert_eq!(&source.actuators[&ram.id], &after.actuators[&ram.id]);
            }
            let Operation::Run { pump, .. } = &operation else { continue };
            let source = if touched.as_ref().is_some_and(|it| it.has(pump)) { solved.as_ref().unwrap() } else { &before };
            proptest::prop_assert_eq!((&source.spill, &source.spills_into), (&after.spill, &after.spills_into));
        }
    }
}
