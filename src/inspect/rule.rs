//! What a rule is and what it looks at.

use jiff::civil::Date;

use crate::model::Guide;
use crate::reason::{Facts, Findable};
use crate::report::{Finding, RuleInfo};
use crate::text::Span;

/// A rule of the catalogue.
#[derive(Debug)]
pub struct Rule {
    pub info: RuleInfo,
    /// Looks at the guide; `None` for rules that are found while reading or judging.
    pub check: Option<fn(&Subject<'_>, &mut Vec<Finding>)>,
}

/// What a rule looks at.
#[derive(Debug, Clone, Copy)]
pub struct Subject<'g> {
    pub guide: &'g Guide,
    pub facts: &'g Facts,
    /// Records of faults and procedures that could not be read whole.
    pub half_read: &'g [Span],
    /// Today, for rules that depend on the day; `None` while compiling.
    pub today: Option<Date>,
    /// What searching does not find; `None` until the guide is free of errors.
    pub findable: Option<&'g Findable>,
}
