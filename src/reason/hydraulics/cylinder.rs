//! One single-rod cylinder: areas, forces, speeds, volumes.
//!
//! F = p A, v = Q / A, rod volume = π d² s / 4: elementary mechanics.

use super::exact::{div, mul, pi, sub};
use crate::model::quantity::Exact;

/// The sizes of a cylinder, in m.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Sizes {
    pub bore: Exact,
    pub rod: Exact,
}

impl Sizes {
    /// The area of the piston, in m².
    pub fn cap_area(self) -> Option<Exact> {
        circle(self.bore)
    }

    /// The area of the ring around the rod, in m²; `None` where the rod fills the bore.
    pub fn rod_side_area(self) -> Option<Exact> {
        let area = sub(circle(self.bore)?, circle(self.rod)?)?;
        (area > super::exact::zero()).then_some(area)
    }

    /// The area of the rod, in m².
    pub fn rod_area(self) -> Option<Exact> {
        circle(self.rod)
    }

    /// What the rod takes out of the reservoir over a stroke, in m³.
    pub fn rod_volume(self, stroke: Exact) -> Option<Exact> {
        mul(self.rod_area()?, stroke)
    }
}

/// The force of a pressure on an area.
pub fn force(pressure: Exact, area: Exact) -> Option<Exact> {
    mul(pressure, area)
}

/// The speed that a flow gives a piston.
pub fn speed(flow: Exact, area: Exact) -> Option<Exact> {
    div(flow, area)
}

fn circle(diameter: Exact) -> Option<Exact> {
    mul(mul(diameter, diameter)?, mul(pi(), Exact::new(1, 4))?)
}

#[cfg(test)]
mod tests;
