//! Makes style and script small before they are published. Readable sources stay in the theme; what they do stays too.

mod arrows;
mod join;
mod own;
mod repeats;
mod script;
mod style;

pub use join::joined;
pub use own::own_names_short;
pub use script::{ScriptError, is_left, script};
pub use style::style;
