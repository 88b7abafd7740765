//! `size-out-of-scale`

use std::collections::{BTreeMap, BTreeSet};

use super::size_in_shape;
use crate::inspect::book::Book;
use crate::inspect::{Rule, Subject};
use crate::model::quantity::{Exact, Quantity};
use crate::model::{Actuator, Circuit};
use crate::reason::{machines, value_on};
use crate::report::{Finding, Level, RuleInfo};
use crate::text::{Located, Span};

pub(super) const NAME: &str = "size-out-of-scale";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hydraulics",
        level: Level::Warning,
        matters: "A slip of a unit or a nought makes every force, speed and level on the page wrong.",
        page: include_str!("size-out-of-scale.md"),
        softenable: true,
    },
    check: Some(check),
};

/// The least and the most of a size, as a person writes them and as fractions of the base unit.
struct Scale {
    says: &'static str,
    least: (i128, i128),
    most: (i128, i128),
}

impl Scale {
    fn holds(&self, value: Exact) -> bool {
        let within = |(part, whole): (i128, i128)| Exact::new(part, whole);
        within(self.least) <= value && value <= within(self.most)
    }
}

/// Bores and rods: the series of ISO 3320, with room (from memory). The others: common practice, no source.
const BORE: Scale = Scale { says: "4 mm to 500 mm", least: (4, 1000), most: (500, 1000) };
const ROD: Scale = Scale { says: "2 mm to 450 mm", least: (2, 1000), most: (450, 1000) };
const STROKE: Scale = Scale { says: "5 mm to 10 m", least: (5, 1000), most: (10, 1) };
const PRESSURE: Scale = Scale { says: "1 bar to 700 bar", least: (100_000, 1), most: (70_000_000, 1) };
const FLOW: Scale = Scale { says: "0.01 L/min to 1000 L/min", least: (1, 6_000_000), most: (1, 60) };
const HOSE_BORE: Scale = Scale { says: "1 mm to 100 mm", least: (1, 1000), most: (100, 1000) };
const HOSE_LENGTH: Scale = Scale { says: "20 mm to 100 m", least: (20, 1000), most: (100, 1) };
/// The least part of its force that a cylinder is built for.
const IDLE: (i128, i128) = (1, 200);

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let book = Book::of(subject.guide);
    for circuit in &subject.guide.circuits {
        let actuators = circuit.actuators.iter().flat_map(|it| {
            [("bore", &it.bore, &BORE), ("rod_diameter", &it.rod_diameter, &ROD), ("stroke", &it.stroke, &STROKE)]
        });
        let pumps =
            circuit.pumps.iter().flat_map(|it| [("flow", &it.flow, &FLOW), ("pressure", &it.pressure, &PRESSURE)]);
        let valves = circuit.passages.iter().map(|it| ("opens_at", &it.opens_at, &PRESSURE));
        let hoses =
            circuit.hoses.iter().flat_map(|it| [("bore", &it.bore, &HOSE_BORE), ("length", &it.length, &HOSE_LENGTH)]);
        for (key, values, scale) in actuators.chain(pumps).chain(valves).chain(hoses) {
            found.extend(values.iter().filter_map(|value| out_of(key, &value.value, scale)));
        }
        idle(subject, circuit, found);
        // A size that is absurd by itself is absurd against any other.
        let told: BTreeSet<Span> = found.iter().map(|one| one.span).collect();
        let is_told = |one: &Finding| told.contains(&one.span) || one.related.iter().any(|it| told.contains(&it.span));
        let mut in_shape = Vec::new();
        size_in_shape::check(subject, &book, circuit, &mut in_shape);
        found.extend(in_shape.into_iter().filter(|one| !is_told(one)));
    }
}

fn out_of(key: &str, value: &Located<Quantity>, scale: &Scale) -> Option<Finding> {
    // What is below zero is impossible, which another rule says.
    if scale.holds(value.value.base()) || value.value.base() <= Exact::from_integer(0) {
        return None;
    }
    let wrong = format!("`{key}` is {} here; machines have {}.", value.value.written(), scale.says);
    let remedy = "Look at unit and decimal point. If the value is right, soften the rule for this circuit and say so.";
    Some(Finding::new(NAME, value.span, wrong, remedy))
}

/// Loads that the pressure of the circuit would lift two hundred times.
fn idle(subject: &Subject<'_>, circuit: &Circuit, found: &mut Vec<Finding>) {
    let mut told = BTreeMap::new();
    for machine in machines(subject.guide) {
        let pressure =
            circuit.pumps.iter().filter_map(|pump| Some(value_on(&pump.pressure, &machine)?.value.value.base())).max();
        for actuator in &circuit.actuators {
            let value = |values| value_on(values, &machine).map(|it| &it.value);
            let (bore, load) = (value(&actuator.bore), value(&actuator.load_force));
            let (Some(pressure), Some(bore), Some(load)) = (pressure, bore, load) else { continue };
            if is_idle(pressure, bore.value.base(), load.value.base()) == Some(true) {
                told.entry(load.span).or_insert_with(|| worded(actuator, bore, load));
            }
        }
    }
    found.extend(told.into_values());
}

fn is_idle(pressure: Exact, bore: Exact, load: Exact) -> Option<bool> {
    use num_traits::CheckedMul;
    if !BORE.holds(bore) || !PRESSURE.holds(pressure) {
        return None;
    }
    // Three quarters of the square, a little less than the circle in it: the careful side.
    let area = bore.checked_mul(&bore)?.checked_mul(&Exact::new(3, 4))?;
    let least = pressure.checked_mul(&area)?.checked_mul(&Exact::new(IDLE.0, IDLE.1))?;
    Some(load > Exact::from_integer(0) && load < least)
}

fn worded(actuator: &Actuator, bore: &Located<Quantity>, load: &Located<Quantity>) -> Finding {
    let wrong = format!(
        "The load of `{}` is {}, less than 1/200 of what its bore and the pressure can move.",
        actuator.id.value,
        load.value.written()
    );
    let remedy = "Look at the units of load, bore and pressure: one of them is some noughts off.";
    Finding::new(NAME, load.span, wrong, remedy).with(bore.span, "its bore")
}
