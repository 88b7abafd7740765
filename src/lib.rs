//! Bayleaf compiles what a workshop knows about a machine into an offline service guide.

pub mod cli;
pub mod desk;
pub mod inspect;
pub mod model;
pub mod pipeline;
pub mod publish;
pub mod read;
pub mod reason;
pub mod render;
pub mod report;
pub mod text;
