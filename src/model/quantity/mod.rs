//! Quantities: a number, a unit and the kind of thing measured.
