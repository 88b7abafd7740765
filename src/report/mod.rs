//! Findings: what is wrong, where, why it matters, what to write; and the one sink that judges them.

mod finding;
mod rule;
mod sink;
mod text;

pub use finding::{Finding, Related};
pub use rule::{Level, RuleInfo};
pub use sink::{Judged, Report, Scope, Sink, Soften};
pub use text::{Style, summary, write_text};
