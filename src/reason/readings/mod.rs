//! Readings: what a value means, alone, added up, and against the state of the machine. The script of the pages works
//! the same out on the device; both are held to one file of examples.

mod drop;
mod level;
mod sum;
#[cfg(test)]
mod tests;
mod typed;

use super::machines::{Machine, holds};
use crate::model::quantity::{Exact, Quantity};
use crate::model::{Band, Reading};

pub use drop::{Stretch, lost, worst};
pub use level::with_rods_in;
pub use sum::{Sum, sum};
pub use typed::{Range, Refusal, read};

/// The place of the band that a value lies in, on one machine: a band holds its `from` and not its `to`. `None` where no
/// band holds it.
pub fn band_of(reading: &Reading, machine: &Machine, value: Exact) -> Option<usize> {
    let here = |band: &Band| holds(band.variants.as_deref(), machine);
    reading.bands.iter().position(|band| here(band) && lies_in(band, value))
}

/// True where a band holds a value, in base units.
pub fn lies_in(band: &Band, value: Exact) -> bool {
    let edge = |edge: &Option<crate::text::Located<Quantity>>| edge.as_ref().map(|edge| edge.value.base());
    edge(&band.from).is_none_or(|from| value >= from) && edge(&band.to).is_none_or(|to| value < to)
}

/// In which range values of a reading can lie at all.
pub fn range_of(reading: &Reading) -> Range {
    let ends = reading.bands.iter().flat_map(|band| [&band.from, &band.to]);
    let dimension = reading.unit.value.dimension();
    let edges = ends.flatten().map(|edge| &edge.value).filter(|edge| edge.dimension() == dimension);
    Range::of(dimension, &edges.map(Quantity::base).collect::<Vec<_>>())
}
