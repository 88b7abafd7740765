//! The solver against crossings worked by hand, and what must hold of every crossing.

use std::collections::BTreeMap;

use super::*;
use crate::model::{Actuator, Id, Motion};
use crate::reason::hydraulics::tests::demo;
use crate::reason::hydraulics::{
    ActuatorDoes, ActuatorFacts, HydraulicFacts, Operation, OperationFacts, Spill, Way, on_machine, operate,
};
use crate::reason::{End, HoseEnd, Machine};

const BY_HAND: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/hydraulics/crossings.toml"));

const GUIDE: &str = include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/content/guide.toml"));

const PARTS: [&str; 2] = [
    include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/content/parts/canopy-circuit.toml")),
    include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/content/parts/floor-circuit.toml")),
];

const HOSES: [&str; 2] = [
    include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/content/hoses/canopy.toml")),
    include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/content/hoses/floor.toml")),
];

fn end(text: &str) -> HoseEnd {
    let (hose, end) = text.split_once(':').unwrap();
    HoseEnd { hose: Id::new(hose), end: if end == "from" { End::From } else { End::To } }
}

fn operation(text: &str) -> Operation {
    match text.split_once(' ') {
        Some((pump, way)) => {
            let way = if way == "forward" { Way::Forward } else { Way::Reverse };
            Operation::Run { pump: Id::new(pump), way }
        }
        None => Operation::Standing,
    }
}

/// The word of the hand-worked table.
fn word(facts: &ActuatorFacts) -> &'static str {
    match (facts.does, facts.load_moves) {
        (ActuatorDoes::Floats, Some(Motion::Retracts)) => "floats-in",
        (ActuatorDoes::Floats, Some(Motion::Extends)) => "floats-out",
        (_, Some(Motion::Retracts)) => "falls-in",
        (_, Some(Motion::Extends)) => "falls-out",
        (ActuatorDoes::Extends, None) => "extends",
        (ActuatorDoes::Retracts, None) => "retracts",
        (ActuatorDoes::Regenerates, None) => "regenerates",
        (ActuatorDoes::Stalls, None) => "stalls",
        (ActuatorDoes::Locked, None) => "locked",
        (ActuatorDoes::Floats, None) => "floats",
        (ActuatorDoes::Rests, None) => {
            if facts.creeps {
                "creeps"
            } else {
                "rests"
            }
        }
    }
}

/// A machine with two ends exchanged, solved again.
fn crossed(guide: &Guide, machine: &Machine, ends: &[HoseEnd; 2]) -> BTreeMap<Operation, OperationFacts> {
    let net = Net::of(guide, machine);
    let fitted = ends::ends(guide, &net);
    let find = |end: &HoseEnd| fitted.iter().find(|one| one.end == *end).unwrap();
    let (one, other) = (find(&ends[0]), find(&ends[1]));
    assert!(one.can_change_with(other), "{ends:?} do not fit each other");
    let net = exchanged(&net, one, other);
    crate::reason::hydraulics::operations(&net).iter().map(|it| (it.clone(), operate::operate(&net, it))).collect()
}

#[test]
fn the_solver_agrees_with_the_hand() {
    let guide = demo();
    let facts = HydraulicFacts::of(&guide);
    let table: toml::Table = toml::from_str(BY_HAND).unwrap();
    let rows = table["crossing"].as_array().unwrap();
    assert!(rows.len() >= 16);
    let mut wrong = Vec::new();
    for row in rows {
        let ends: Vec<HoseEnd> = row["ends"].as_array().unwrap().iter().map(|it| end(it.as_str().unwrap())).collect();
        let ends: [HoseEnd; 2] = ends.try_into().unwrap();
        let only = row.get("machine").map(|it| it.as_str().unwrap());
        for plain in &facts.machines {
            if only.is_some_and(|only| plain.machine != Some(Id::new(only))) {
                continue;
            }
            let solved = crossed(&guide, &plain.machine, &ends);
            wrong.extend(
                disagreements(row, plain, &solved).into_iter().map(|it| format!("{:?} {ends:?}: {it}", plain.machine)),
            );
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

fn disagreements(
    row: &toml::Value,
    plain: &MachineHydraulics,
    solved: &BTreeMap<Operation, OperationFacts>,
) -> Vec<String> {
    let mut wrong = Vec::new();
    let names = |key: &str| -> Vec<String> {
        let list = row.get(key).and_then(|it| it.as_array()).cloned().unwrap_or_default();
        list.iter().map(|it| it.as_str().unwrap().to_owned()).collect()
    };
    for (name, does) in row.as_table().unwrap().iter().filter(|(_, value)| value.is_table()) {
        for (actuator, expected) in does.as_table().unwrap() {
            let found = word(&solved[&operation(name)].actuators[&Id::<Actuator>::new(actuator.as_str())]);
            if Some(found) != expected.as_str() {
                wrong.push(format!("{name}: {actuator} {found}, by hand {expected}"));
            }
        }
    }
    for name in names("same") {
        let before = plain.operation(&operation(&name)).unwrap();
        for (actuator, after) in &solved[&operation(&name)].actuators {
            if word(after) != word(&before.actuators[actuator]) {
                wrong.push(format!("{name}: {actuator} {}, by hand as before", word(after)));
            }
        }
    }
    for name in names("unlimited") {
        if solved[&operation(&name)].spill != Spill::Nothing {
            wrong.push(format!("{name}: by hand nothing limits the pressure"));
        }
    }
    for name in names("spills_astray") {
        if solved[&operation(&name)].spills_into == plain.operation(&operation(&name)).unwrap().spills_into {
            wrong.push(format!("{name}: by hand it spills into the other reservoir"));
        }
    }
    wrong
}

#[test]
fn a_crossing_undone_is_the_plain_machine() {
    let guide = demo();
    for facts in &HydraulicFacts::of(&guide).machines {
        let net = Net::of(&guide, &facts.machine);
        let ends = ends::ends(&guide, &net);
        let mut tried = 0;
        for (one, other) in pairs(&ends) {
            let there = exchanged(&net, one, other);
            let back = exchanged(&there, one, other);
            for plain in facts.operations.iter().take(2) {
                assert_eq!(operate::operate(&back, &plain.operation), *plain);
            }
            tried += 1;
        }
        assert!(tried > 50, "{tried}");
    }
}

/// How many crossings each circuit has a part in.
fn by_circuit<'c>(all: impl Iterator<Item = &'c Crossing>) -> BTreeMap<Id<crate::model::Circuit>, usize> {
    let mut counts = BTreeMap::new();
    for crossing in all {
        let circuits: BTreeSet<_> = crossing.circuits.iter().collect();
        circuits.into_iter().for_each(|circuit| *counts.entry(circuit.clone()).or_default() += 1);
    }
    counts
}

#[test]
fn what_is_not_worked_out_is_counted_and_marked_apart() {
    let guide = demo();
    let facts = &HydraulicFacts::of(&guide).machines[0];
    let (whole, part, none) =
        (within(&guide, facts, usize::MAX), within(&guide, facts, 30_000), within(&guide, facts, 0));
    assert!(whole.left_out.is_empty() && none.all.is_empty());
    assert_eq!(by_circuit(whole.all.iter()), none.left_out);
    assert!(!part.all.is_empty() && part.all.len() < whole.all.len(), "{}", part.all.len());
    let mut counted = by_circuit(part.all.iter());
    part.left_out.iter().for_each(|(circuit, count)| *counted.entry(circuit.clone()).or_default() += count);
    assert_eq!(counted, none.left_out);
    for crossing in &part.all {
        assert!(whole.all.contains(crossing));
    }
    assert_eq!((&part.marking, &none.marking_where_it_matters), (&whole.marking, &whole.marking));
}

/// The other side of the canopy.
fn mirrored(text: &str) -> String {
    match text {
        "lc" => "rc".to_owned(),
        "rc" => "lc".to_owned(),
        "lr" => "rr".to_owned(),
        "rr" => "lr".to_owned(),
        other => other.to_owned(),
    }
}

#[test]
fn mirrors_mirror_and_every_crossing_is_in_its_group() {
    let guide = demo();
    let facts = HydraulicFacts::of(&guide);
    for machine in &facts.machines {
        let crossings = machine.crossings(&guide);
        for crossing in &crossings.all {
            let [one, other] =
                crossing.ends.clone().map(|end| HoseEnd { hose: Id::new(mirrored(end.hose.as_str())), end: end.end });
            let mirror = crossings.of(&one, &other).unwrap();
            assert_eq!(mirror.worst, crossing.worst, "{:?}", crossing.ends);
            let kinds = |it: &Crossing| -> Vec<_> {
                it.differences.iter().map(|one| (one.operation.clone(), one.seen.clone())).collect()
            };
            assert_eq!(kinds(mirror), kinds(crossing), "{:?}", crossing.ends);
        }
        let grouped: usize = crossings.groups().iter().map(|group| group.crossings.len()).sum();
        assert_eq!(grouped, crossings.all.len());
        assert!(crossings.groups().windows(2).all(|pair| pair[0].seen < pair[1].seen));
    }
}

#[test]
fn other_names_change_nothing() {
    let guide = demo();
    let machine = Some(Id::new("dunnock-b"));
    let plain = on_machine(&guide, machine.clone());
    // Names that sort the other way round: z for a, y for b and so on, behind the mark of a new name.
    let renamed = |text: &str| {
        let table: toml::Table = toml::from_str(text).unwrap();
        let mut text = text.to_owned();
        for kind in ["port", "hose", "passage", "actuator", "pump"] {
            for row in table.get(kind).and_then(|it| it.as_array()).into_iter().flatten() {
                let id = row["id"].as_str().unwrap();
                let turned: String = id
                    .bytes()
                    .map(|it| if it.is_ascii_lowercase() { char::from(b'a' + b'z' - it) } else { char::from(it) })
                    .collect();
                for key in ["id", "from", "to", "pilot", "forward", "reverse", "cap", "rod", "pair"] {
                    text = text.replace(&format!("\n{key} = \"{id}\""), &format!("\n{key} = \"{turned}x\""));
                }
            }
        }
        text
    };
    let mut desk = crate::desk::MemoryDesk::new();
    desk = desk.with("guide.toml", GUIDE).with("parts/canopy.toml", PARTS[0]).with("parts/floor.toml", PARTS[1]);
    for (name, text) in [("canopy", HOSES[0]), ("floor", HOSES[1])] {
        desk = desk.with(format!("hoses/{name}.toml"), renamed(text));
    }
    let other_guide = crate::read::read(&desk).guide;
    let other = on_machine(&other_guide, machine);
    let shape = |facts: &MachineHydraulics, guide: &Guide| -> Vec<(Seen, usize)> {
        let mut shape: BTreeMap<Seen, usize> = BTreeMap::new();
        for crossing in &facts.crossings(guide).all {
            *shape.entry(crossing.worst).or_default() += 1;
        }
        shape.into_iter().collect()
    };
    let words = |facts: &MachineHydraulics| -> Vec<Vec<&str>> {
        let sorted = |one: &OperationFacts| {
            let mut words: Vec<_> = one.actuators.values().map(word).collect();
            words.sort_unstable();
            words
        };
        facts.operations.iter().map(sorted).collect()
    };
    assert!(
        !other.operations.is_empty() && other_guide.circuits.find("canopy-circuit").unwrap().hoses[0].id.value != "ca"
    );
    assert_eq!(words(&plain), words(&other));
    assert_eq!(shape(&plain, &guide), shape(&other, &other_guide));
}

#[test]
#[ignore = "prints the crossings of the demo for looking at"]
fn show() {
    let guide = demo();
    let facts = HydraulicFacts::of(&guide);
    for machine in &facts.machines {
        let started = std::time::Instant::now();
        let crossings = machine.crossings(&guide);
        eprintln!(
            "{:?}: {} crossings in {:?}, {} not told apart, {}/{} colours",
            machine.machine,
            crossings.all.len(),
            started.elapsed(),
            crossings.not_told_apart().count(),
            crossings.marking.colours,
            crossings.marking_where_it_matters.colours
        );
        for crossing in &crossings.all {
            eprintln!(
                "{:?} {}:{:?} x {}:{:?}",
                crossing.worst,
                crossing.ends[0].hose,
                crossing.ends[0].end,
                crossing.ends[1].hose,
                crossing.ends[1].end
            );
            for one in crossing.differences.iter() {
                let changes: Vec<String> = one.sights.iter().map(|(id, it)| format!("{id} {it:?}")).collect();
                eprintln!("    {:?} {:?} / {:?} {}", one.operation, one.seen, one.seen_at_start, changes.join(", "));
            }
        }
    }
}
