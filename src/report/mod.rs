//! Findings: what is wrong, where, why it matters, what to write; and the one sink that judges them.

mod finding;
mod json;
mod lines;
mod rule;
#[cfg(test)]
mod samples;
mod sarif;
mod sink;
mod tally;
mod text;

pub use finding::{Finding, Related};
pub use json::{SCHEMA, VERSION, json};
pub use lines::line;
pub use rule::{Level, RuleInfo};
pub use sarif::sarif;
pub use sink::{HeldBack, Judged, MOST_OF_A_RULE, Report, Scope, Sink, Soften};
pub use tally::{Counts, Tally};
pub use text::{Style, summary, write_text};
