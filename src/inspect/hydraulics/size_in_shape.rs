//! Sizes of one thing against each other: a cylinder's rod, bore and stroke, a hose's bore and fitting, the two hoses of a
//! pair, one size on two variants. Each bound is common practice without a source, with room on the wide side.

use std::collections::BTreeMap;

use num_traits::CheckedDiv;

use super::size_out_of_scale::NAME;
use crate::inspect::Subject;
use crate::inspect::book::Book;
use crate::inspect::spoken::thread_in;
use crate::model::quantity::{Exact, Quantity};
use crate::model::{Actuator, Circuit, Hose, Link, Port, Sourced, Varied};
use crate::reason::{Machine, machines, value_on};
use crate::report::Finding;

/// One size may be at most this many times the other.
const BORE_OF_ROD: i128 = 6;
const STROKE_OF_BORE: i128 = 100;
const BORE_OF_STROKE: i128 = 10;
const BORE_OF_THREAD: i128 = 2;
const OF_PAIR: i128 = 8;
const OF_VARIANT: i128 = 8;

type Size = Sourced<Quantity>;

pub(super) fn check<'g>(subject: &Subject<'g>, book: &Book<'g>, circuit: &'g Circuit, found: &mut Vec<Finding>) {
    for machine in machines(subject.guide) {
        for actuator in &circuit.actuators {
            let on = |values| value_on(values, &machine);
            let (bore, rod, stroke) = (on(&actuator.bore), on(&actuator.rod_diameter), on(&actuator.stroke));
            found.extend(slip(actuator, ("bore", bore), ("rod", rod), BORE_OF_ROD));
            found.extend(slip(actuator, ("stroke", stroke), ("bore", bore), STROKE_OF_BORE));
            found.extend(slip(actuator, ("bore", bore), ("stroke", stroke), BORE_OF_STROKE));
        }
        for (hose, other) in beside(book, circuit, &machine) {
            let lengths = value_on(&hose.length, &machine).zip(value_on(&other.length, &machine));
            found.extend(lengths.and_then(|(length, longer)| uneven(hose, other, length, longer)));
        }
    }
    found.extend(circuit.hoses.iter().flat_map(wider_than_its_fitting));
    let of_actuators = circuit.actuators.iter().flat_map(|it| [&it.bore, &it.rod_diameter, &it.stroke, &it.load_force]);
    let of_pumps = circuit.pumps.iter().flat_map(|it| [&it.flow, &it.pressure]);
    let of_hoses = circuit.hoses.iter().flat_map(|it| [&it.bore, &it.length]);
    for values in of_actuators.chain(of_pumps).chain(of_hoses).chain(circuit.passages.iter().map(|it| &it.opens_at)) {
        found.extend(apart_by_variant(values));
    }
}

/// How many times the second goes into the first; nothing where one of them is not above nought.
fn times(one: &Size, other: &Size) -> Option<Exact> {
    let zero = Exact::from_integer(0);
    let (one, other) = (&one.value, &other.value);
    if one.value.dimension() != other.value.dimension() || one.value.base() <= zero || other.value.base() <= zero {
        return None;
    }
    one.value.base().checked_div(&other.value.base())
}

fn is_over(one: &Size, other: &Size, most: i128) -> bool {
    times(one, other).is_some_and(|times| times > Exact::from_integer(most))
}

fn finding(at: &Size, wrong: String) -> Finding {
    let remedy = "Look at unit, decimal point and noughts of both. If they are right, soften the rule for this circuit and say \
                  so.";
    Finding::new(NAME, at.value.span, wrong, remedy)
}

fn slip(
    actuator: &Actuator,
    large: (&str, Option<&Size>),
    small: (&str, Option<&Size>),
    most: i128,
) -> Option<Finding> {
    let ((large_is, Some(large)), (small_is, Some(small))) = (large, small) else { return None };
    let wrong = format!(
        "The {large_is} of `{}` is {}, its {small_is} {}: more than {most} times as much.",
        actuator.id.value,
        large.value.written(),
        small.value.written()
    );
    is_over(large, small, most).then(|| finding(large, wrong).with(small.value.span, format!("the {small_is}")))
}

/// Every hose of a machine with each one that runs beside it: its pair, or the longest between the same two parts.
fn beside<'g>(book: &Book<'g>, circuit: &'g Circuit, machine: &Machine) -> Vec<(&'g Hose, &'g Hose)> {
    let mut groups: BTreeMap<[&str; 2], Vec<&Hose>> = BTreeMap::new();
    for hose in &circuit.hoses {
        let part = |end: &Option<Link<Port>>| Some(book.port(&end.as_ref()?.value)?.part.as_str());
        if let Some((from, to)) = part(&hose.from).zip(part(&hose.to)) {
            groups.entry([from.min(to), from.max(to)]).or_default().push(hose);
        }
    }
    let ordered = |hoses: &Vec<&'g Hose>| -> Vec<_> {
        let length = |hose: &&Hose| value_on(&hose.length, machine).map(|length| length.value.value.base());
        let longest = hoses.iter().copied().max_by_key(length);
        hoses.iter().filter_map(|hose| Some((*hose, longest?))).collect()
    };
    let pairs = circuit.hoses.iter().filter_map(|hose| Some((hose, book.partner(hose)?)));
    groups.values().flat_map(ordered).chain(pairs).collect()
}

/// Two hoses side by side, one of which is many times as long. The shorter is the likelier slip.
fn uneven(hose: &Hose, other: &Hose, length: &Size, longer: &Size) -> Option<Finding> {
    let wrong = format!(
        "The hose `{}` is {} long and `{}`, which runs beside it, {}.",
        hose.id.value,
        length.value.written(),
        other.id.value,
        longer.value.written()
    );
    is_over(longer, length, OF_PAIR).then(|| finding(length, wrong).with(longer.value.span, "the other hose"))
}

fn wider_than_its_fitting(hose: &Hose) -> Option<Finding> {
    let thread = thread_in(&hose.fitting)?;
    let most = Exact::new(i128::from(thread) * BORE_OF_THREAD, 1000);
    let bore = hose.bore.iter().find(|bore| bore.value.value.base() > most)?;
    let wrong = format!(
        "The hose `{}` is {} wide inside and has the fitting {}.",
        hose.id.value,
        bore.value.written(),
        hose.fitting.value
    );
    Some(finding(bore, wrong).with(hose.fitting.span, "the fitting"))
}

/// One size that differs by many times from variant to variant.
fn apart_by_variant(values: &Varied<Quantity>) -> Option<Finding> {
    let largest = values.iter().max_by_key(|value| value.value.base())?;
    let least = values.iter().min_by_key(|value| value.value.base())?;
    let wrong = format!("It is {} on one variant and {} on another.", largest.value.written(), least.value.written());
    is_over(largest, least, OF_VARIANT).then(|| finding(largest, wrong).with(least.value.span, "the other variant"))
}
