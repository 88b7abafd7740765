//! What the templates are given: plain strings and numbers, one file a page kind.
//!
//! A template sees five names: `path` (of its page, from the top folder), `guide` ([`frame::Guide`]), `w` (the interface words of the theme), `sheet`
//! ([`frame::Sheet`]) and `v` (the view of the page kind). Fields that end in `_html` are safe HTML already and are
//! not escaped again; every other string is. Every `href` is relative to the page that shows it.

pub mod a_to_z;
pub mod about;
pub mod bulletin;
pub mod card;
pub mod fault;
pub mod frame;
pub mod front;
pub mod hoses;
pub mod note;
pub mod part;
pub mod pieces;
pub mod procedure;
pub mod quote;
pub mod reading;
pub mod recalibration;
pub mod sequence;
pub mod terms;
pub mod units;
pub mod wiring;

#[cfg(test)]
mod tests;
