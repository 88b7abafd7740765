//! `unit-mismatch`

use crate::inspect::{Rule, Subject};
use crate::model::Reading;
use crate::model::quantity::{Dimension, Quantity};
use crate::report::{Finding, Level, RuleInfo};
use crate::text::Located;

const NAME: &str = "unit-mismatch";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "readings",
        level: Level::Error,
        matters: "Millimetres cannot be compared with bar: the calculator would have to guess.",
        page: include_str!("unit-mismatch.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for reading in &subject.guide.readings {
        let limits = reading.bands.iter().flat_map(|band| [&band.from, &band.to]).flatten();
        found.extend(limits.filter_map(|limit| mismatch(reading, limit)));
        found.extend(sum(subject, reading));
    }
    for circuit in &subject.guide.circuits {
        let Some(link) = circuit.air.as_ref().and_then(|air| air.reading.as_ref()) else { continue };
        let Some(reading) = subject.guide.readings.get(&link.value) else { continue };
        if reading.unit.value.dimension() != Dimension::Length {
            let wrong =
                format!("Air in the lines is limited as a length, but `{}` is {}.", link.value, kind(&reading.unit));
            let remedy = "Name the reading that measures the length of air pockets.";
            found.push(Finding::new(NAME, link.span, wrong, remedy).with(reading.unit.span, "its unit"));
        }
    }
}

fn mismatch(reading: &Reading, limit: &Located<Quantity>) -> Option<Finding> {
    if limit.value.dimension() == reading.unit.value.dimension() {
        return None;
    }
    let wrong = format!("{} is {}, but this reading is {}.", limit.value, kind(limit), kind(&reading.unit));
    let remedy = "Write the limit in a unit of the same kind, or correct `unit`.";
    Some(Finding::new(NAME, limit.span, wrong, remedy).with(reading.unit.span, "the unit of the reading"))
}

fn sum(subject: &Subject<'_>, reading: &Reading) -> Option<Finding> {
    let sum = reading.sum.as_ref()?;
    let total = subject.guide.readings.get(&sum.total.value)?;
    if total.unit.value.dimension() == reading.unit.value.dimension() {
        return None;
    }
    let wrong = format!(
        "Values of this reading are {}, but their total `{}` is {}.",
        kind(&reading.unit),
        sum.total.value,
        kind(&total.unit)
    );
    let remedy = "Name a reading of the same kind as the total, or correct the unit of one of the two.";
    Some(Finding::new(NAME, sum.total.span, wrong, remedy).with(total.unit.span, "its unit"))
}

/// "a length", without the example.
fn kind(quantity: &Located<Quantity>) -> &'static str {
    let described = quantity.value.dimension().described();
    described.split(" such as").next().unwrap_or(described)
}
