//! The rules: families of them, one file and one page a rule, over the model and the facts.

mod card;
mod catalogue;
mod faults;
mod form;
mod hoses;
mod hydraulics;
mod procedures;
mod readings;
mod references;
mod rule;
mod safety;
mod sequences;
mod softening;
mod wiring;
mod wording;
mod writing;

pub use card::overflow;
pub use catalogue::{all, named};
pub use rule::{Rule, Subject};

use crate::model::Guide;
use crate::read::Draft;
use crate::reason::Facts;
use crate::report::{Finding, Report, Sink};
use jiff::civil::Date;
use rayon::prelude::*;

/// Judges a draft: what reading complained about, what the rules find, and what was found while the card was laid out.
/// `today` is known only to `inspect`.
pub fn inspect(draft: &Draft, facts: &Facts, today: Option<Date>, laid_out: Vec<Finding>) -> Report {
    let mut sink = Sink::new(catalogue::all().iter().map(|rule| &rule.info));
    sink.extend(draft.findings.iter().cloned());
    sink.silence(draft.silenced.iter().copied());
    sink.doubt(draft.doubted.iter().copied());
    sink.extend(run_rules(&draft.guide, facts, today));
    sink.extend(laid_out);
    let (softenings, findings) = softening::of(draft);
    sink.extend(findings);
    sink.soften(softenings);
    sink.judge(&draft.sources)
}

fn run_rules(guide: &Guide, facts: &Facts, today: Option<Date>) -> Vec<Finding> {
    let subject = Subject { guide, facts, today };
    let found: Vec<Vec<Finding>> = catalogue::all()
        .par_iter()
        .filter_map(|rule| rule.check)
        .map(|check| {
            let mut found = Vec::new();
            check(&subject, &mut found);
            found
        })
        .collect();
    found.into_iter().flatten().collect()
}
