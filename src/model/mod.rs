//! The guide as inert data with typed ids.

pub mod quantity;
