//! One decoder a kind, from a TOML record to the model.

pub(super) mod bulletin;
pub(super) mod card;
pub(super) mod fault;
pub(super) mod guide;
pub(super) mod hoses;
pub(super) mod part;
pub(super) mod procedure;
pub(super) mod reading;
pub(super) mod sequence;
pub(super) mod term;
pub(super) mod wiring;
