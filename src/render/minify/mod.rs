//! Makes style and script small before they are published. Readable sources stay in the theme; what they do stays too.

mod script;
mod style;

pub use script::{ScriptError, script};
pub use style::style;
