//! Pages in memory: views, templates, drawings, the search index, the card.

pub mod search;
pub mod views;
