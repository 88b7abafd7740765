//! The order of the phases: desk, read, reason, inspect, render, publish.

use jiff::civil::Date;

use crate::desk::Desk;
use crate::inspect;
use crate::read::{self, Draft};
use crate::reason::{self, Facts};
use crate::report::Report;

/// A guide as far as it could be understood, and everything found about it.
pub struct Inspected {
    pub draft: Draft,
    pub facts: Facts,
    pub report: Report,
}

/// Reads a guide and judges it. Rules that depend on the day run only where `today` is given.
pub fn inspect(desk: &dyn Desk, today: Option<Date>) -> Inspected {
    let draft = read::read(desk);
    let facts = reason::facts(&draft.guide);
    let report = inspect::inspect(&draft, &facts, today);
    Inspected { draft, facts, report }
}
