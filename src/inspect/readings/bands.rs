//! The bands of a reading as they stand on one machine.

use crate::inspect::Subject;
use crate::model::{Band, Reading};
use crate::reason::{holds, machines_of};
use crate::report::Finding;

/// Looks at the bands of every reading on every machine. What is found on several machines is told once. Readings whose
/// limits cannot be compared are left to `unit-mismatch` and `empty-band`.
pub(super) fn on_machines(subject: &Subject<'_>, look: impl Fn(&[&Band], &mut Vec<Finding>), found: &mut Vec<Finding>) {
    let mut all = Vec::new();
    for reading in subject.guide.readings.iter().filter(|reading| is_comparable(reading)) {
        for machine in machines_of(subject.guide, &reading.head) {
            let bands: Vec<&Band> =
                reading.bands.iter().filter(|band| holds(band.variants.as_deref(), &machine)).collect();
            look(&bands, &mut all);
        }
    }
    all.sort();
    all.dedup();
    found.append(&mut all);
}

/// The bands by where they begin, one without lower end first.
pub(super) fn sorted<'b>(bands: &[&'b Band]) -> Vec<&'b Band> {
    let mut bands = bands.to_vec();
    bands.sort_by_key(|band| band.from.as_ref().map(|from| from.value.base()));
    bands
}

fn is_comparable(reading: &Reading) -> bool {
    let wanted = reading.unit.value.dimension();
    let limits = reading.bands.iter().flat_map(|band| [&band.from, &band.to]).flatten();
    let empty = |band: &Band| band.from.as_ref().zip(band.to.as_ref()).is_some_and(|(from, to)| from.value >= to.value);
    limits.into_iter().all(|limit| limit.value.dimension() == wanted) && !reading.bands.iter().any(empty)
}
