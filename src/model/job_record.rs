//! What was really found.

use jiff::civil::Date;

use super::{Cause, Fault, Link, Variant};
use crate::text::{Located, Span};

/// One job, as a row of a table in `results/`.
#[derive(Debug, Clone)]
pub struct JobRecord {
    pub date: Located<Date>,
    pub machine: Located<String>,
    pub variant: Option<Link<Variant>>,
    pub serial: Option<Located<String>>,
    pub edition: Option<Located<String>>,
    pub fault: Link<Fault>,
    /// The cause found; `None` where none of the guide's was.
    pub cause: Option<Link<Cause>>,
    pub certainty: Located<Certainty>,
    pub cured: Option<Located<bool>>,
    pub minutes: Option<Located<u32>>,
    pub name: Option<Located<String>>,
    /// Checks and their answers, as written.
    pub answers: Option<Located<String>>,
    /// Fingerprint of the edition it was walked with.
    pub guide: Option<Located<String>>,
    /// Values read, as written.
    pub readings: Option<Located<String>>,
    pub span: Span,
}

/// How sure the cause is. Only what was shown counts towards likelihood.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Certainty {
    Shown,
    Inferred,
    Unconfirmed,
}
