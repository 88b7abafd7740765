//! Bayleaf compiles what a workshop knows about a machine into an offline service guide.

pub mod desk;
pub mod model;
pub mod publish;
pub mod read;
pub mod reason;
pub mod render;
pub mod text;
