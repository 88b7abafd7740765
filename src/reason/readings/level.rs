//! The level of a reservoir against the state of the machine: rods that come out of their cylinders make room there, and
//! the fluid that fills it is missing in the reservoir.

use num_traits::{CheckedAdd, CheckedDiv};

use crate::model::quantity::Exact;

/// The level as it would stand with every rod in, in metres: the level read, the volume of the rods that are out in
/// cubic metres, and the surface of the fluid in square metres. `None` without a surface.
pub fn with_rods_in(level: Exact, rods_out: Exact, surface: Exact) -> Option<Exact> {
    if surface <= Exact::from_integer(0) {
        return None;
    }
    level.checked_add(&rods_out.checked_div(&surface)?)
}
