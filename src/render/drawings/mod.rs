//! Drawings as inline SVG. Every drawing has a text alternative on its page with the same facts.

pub(super) mod circuit;
pub(super) mod plan;
mod svg;
