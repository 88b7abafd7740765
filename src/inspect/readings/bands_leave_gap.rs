//! `bands-leave-gap`

use super::bands::{on_machines, sorted};
use crate::inspect::{Rule, Subject};
use crate::model::quantity::Dimension;
use crate::model::{Band, Reading};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "bands-leave-gap";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "readings",
        level: Level::Error,
        matters: "A value that no band names leaves the technician alone with it.",
        page: include_str!("bands-leave-gap.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    on_machines(
        subject,
        |bands, found| {
            let bands = sorted(bands);
            for two in bands.windows(2) {
                if let [below, above] = two {
                    found.extend(between(below, above));
                }
            }
            found.extend(bands.first().and_then(|lowest| below_all(lowest)));
            found.extend(bands.last().and_then(|highest| above_all(highest)));
        },
        found,
    );
    for reading in &subject.guide.readings {
        found.extend(without_bands(subject, reading));
    }
}

fn between(below: &Band, above: &Band) -> Option<Finding> {
    let (to, from) = (
        below.to.as_ref()?,
        above.from.as_ref().filter(|from| below.to.as_ref().is_some_and(|to| from.value > to.value))?,
    );
    let wrong = format!("From {} to {} no band holds.", to.value, from.value);
    let remedy = format!("Let `{}` begin at {}, or add a band for what lies between.", above.id.value, to.value);
    Some(Finding::new(NAME, from.span, wrong, remedy).with(to.span, "where the band below ends"))
}

/// Nothing is measured below zero, but for temperatures and differences.
fn below_all(lowest: &Band) -> Option<Finding> {
    let from = lowest.from.as_ref()?;
    let signed = matches!(
        from.value.dimension(),
        Dimension::Temperature
            | Dimension::TemperatureDifference
            | Dimension::Angle
            | Dimension::Torque
            | Dimension::Force
    );
    let open = signed || *from.value.base().numer() > 0;
    let wrong = format!("Below {} no band holds.", from.value);
    let remedy = "Take `from` out of the lowest band, or add a band below it.";
    open.then(|| Finding::new(NAME, from.span, wrong, remedy))
}

fn above_all(highest: &Band) -> Option<Finding> {
    let to = highest.to.as_ref()?;
    let wrong = format!("From {} upwards no band holds.", to.value);
    let remedy = "Take `to` out of the highest band, or add a band above it.";
    Some(Finding::new(NAME, to.span, wrong, remedy))
}

fn without_bands(subject: &Subject<'_>, reading: &Reading) -> Option<Finding> {
    if reading.sum.is_some() && reading.bands.is_empty() {
        return None;
    }
    let machines = crate::reason::machines_of(subject.guide, &reading.head);
    let bare: Vec<_> = machines
        .iter()
        .filter(|machine| !reading.bands.iter().any(|band| crate::reason::holds(band.variants.as_deref(), machine)))
        .collect();
    let named: Vec<&str> = bare.iter().filter_map(|machine| machine.as_ref()).map(|id| id.as_str()).collect();
    let on = if bare.len() == machines.len() { String::new() } else { format!(" on {}", named.join(", ")) };
    let wrong = format!("The reading `{}` has no bands{on}: nothing says what a value means.", reading.head.id.value);
    let remedy = "Add its bands, each with `verdict` and `source`; or `[reading.sum]`, where only the total is judged.";
    (!bare.is_empty()).then(|| Finding::new(NAME, reading.head.id.span, wrong, remedy))
}
