//! The checks that a fault gets from crossed hoses, worked out from the table of crossings worked by hand: not by the
//! solver under test.

use std::collections::{BTreeMap, BTreeSet};

use toml::{Table, Value};

use super::walk::{list, word, words};
use super::{content, guide};

/// What stands in the hand-worked table for a rod that leaves its stop when all rods are in.
const GOES_OUT: [&str; 4] = ["extends", "regenerates", "falls-out", "floats-out"];

/// A fault with the checks of its tables `[[crossings]]` beside those that are written.
pub fn with_crossings(mut fault: Table) -> Table {
    let made: Vec<Value> = list(&fault, "crossings").into_iter().flat_map(|table| checks(&fault, table)).collect();
    if !made.is_empty() {
        let written = fault.entry("check").or_insert_with(|| Value::Array(Vec::new()));
        written.as_array_mut().unwrap().extend(made);
    }
    fault
}

fn hand_worked() -> Table {
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/hydraulics/crossings.toml");
    std::fs::read_to_string(path).unwrap().parse().unwrap()
}

/// A pump of the guide, with the circuit it belongs to.
fn pump(id: &str) -> (Table, Table) {
    let all = content::entries();
    let circuits = content::entries_in(&all, "hoses").map(|entry| entry.table.clone());
    let mut owners = circuits.filter_map(|circuit| {
        let pump = list(&circuit, "pump").into_iter().find(|pump| word(pump, "id") == id).cloned();
        Some((pump?, circuit))
    });
    owners.next().unwrap_or_else(|| panic!("{} has no pump {id}", guide().display()))
}

fn checks(fault: &Table, table: &Table) -> Vec<Value> {
    assert_eq!(word(table, "rods"), "rods in", "the hand-worked table is read for rods that are in");
    let mut made = Vec::new();
    for id in words(table, "pumps") {
        let (pump, circuit) = pump(id);
        for way in ["forward", "reverse"] {
            made.extend(check(fault, table, &pump, &circuit, way).map(Value::Table));
        }
    }
    made
}

fn check(fault: &Table, table: &Table, pump: &Table, circuit: &Table, way: &str) -> Option<Table> {
    let actuators: BTreeSet<&str> = list(circuit, "actuator").into_iter().map(|it| word(it, "id")).collect();
    let out = word(pump, &format!("{way}_does")) == "extends";
    let plain = if out { actuators } else { BTreeSet::new() };
    let sound = says(table, circuit, &plain, &plain);
    let mut leaves: BTreeMap<String, Vec<String>> = BTreeMap::from([(sound.clone(), Vec::new())]);
    for cause in list(fault, "cause") {
        let hoses = words(cause, "crossing");
        if !hoses.is_empty() {
            let moves = moving(&hoses, &format!("{} {way}", word(pump, "id")), &plain);
            leaves.entry(says(table, circuit, &plain, &moves)).or_default().push(word(cause, "id").to_owned());
        }
    }
    let mut named = BTreeSet::new();
    let said = list(table, "answer").into_iter();
    for answer in said.filter(|it| !it.contains_key("pump") || word(it, "pump") == word(pump, "id")) {
        let says = if answer.contains_key("says") { word(answer, "says") } else { &sound };
        for cause in words(answer, "leaves") {
            leaves.entry(says.to_owned()).or_default().push(cause.to_owned());
            named.insert(cause);
        }
    }
    for cause in list(fault, "cause").into_iter().filter(|it| words(it, "crossing").is_empty()) {
        if !named.contains(word(cause, "id")) {
            leaves.values_mut().for_each(|causes| causes.push(word(cause, "id").to_owned()));
        }
    }
    leaves.retain(|_, causes| !causes.is_empty());
    (leaves.len() > 1).then(|| worded(table, pump, way, &sound, leaves))
}

/// The actuators that leave their stop, by the hand-worked row of two hoses.
fn moving<'h>(hoses: &[&str], operation: &str, plain: &BTreeSet<&'h str>) -> BTreeSet<&'h str> {
    let table: &'static Table = Box::leak(Box::new(hand_worked()));
    let row = list(table, "crossing").into_iter().find(|row| {
        let ends: BTreeSet<&str> = words(row, "ends").into_iter().filter_map(|end| end.split(':').next()).collect();
        ends == hoses.iter().copied().collect()
    });
    let row = row.unwrap_or_else(|| panic!("{hoses:?} were not worked by hand"));
    if words(row, "same").contains(&operation) {
        return plain.clone();
    }
    let does = row.get(operation).and_then(Value::as_table);
    let does = does.unwrap_or_else(|| panic!("{hoses:?}: {operation} was not worked by hand"));
    let out = does.iter().filter(|(_, it)| GOES_OUT.contains(&it.as_str().unwrap())).map(|(id, _)| id.as_str());
    let unnamed = plain.iter().copied().filter(|id| !does.contains_key(*id));
    out.chain(unnamed).collect()
}

fn says(table: &Table, circuit: &Table, plain: &BTreeSet<&str>, moves: &BTreeSet<&str>) -> String {
    if moves.is_empty() {
        return word(table, "nothing").to_owned();
    }
    if moves == plain {
        return word(table, "as_it_should").to_owned();
    }
    let phrase = |id: &&str| {
        let actuator = list(circuit, "actuator").into_iter().find(|it| word(it, "id") == *id);
        word(actuator.unwrap(), "extends_says").to_owned()
    };
    word(table, "only").replace("{moves}", &moves.iter().map(phrase).collect::<Vec<_>>().join("; "))
}

fn worded(table: &Table, pump: &Table, way: &str, sound: &str, leaves: BTreeMap<String, Vec<String>>) -> Table {
    let text = |text: &str| Value::String(text.to_owned());
    let answer = |(says, causes): (String, Vec<String>)| {
        let leaves = causes.iter().map(|cause| text(cause)).collect();
        let is_sound = says == sound;
        Value::Table(Table::from_iter([
            ("says".to_owned(), Value::String(says)),
            ("leaves".to_owned(), Value::Array(leaves)),
            ("sound".to_owned(), Value::Boolean(is_sound)),
        ]))
    };
    let ask = word(table, "ask").replace("{direction}", word(pump, &format!("{way}_says")));
    Table::from_iter([
        ("ask".to_owned(), Value::String(ask)),
        ("answer".to_owned(), Value::Array(leaves.into_iter().map(answer).collect())),
    ])
}
