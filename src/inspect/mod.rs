//! The rules: families of them, one file and one page a rule, over the model and the facts.

mod book;
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
mod search;
mod sequences;
mod softening;
mod spoken;
mod wiring;
mod wording;
mod writing;

pub use card::overflow;
pub use catalogue::{all, named};
pub use rule::{Rule, Subject};

use crate::model::Guide;
use crate::read::Draft;
use crate::reason::{Facts, Findable};
use crate::report::{Finding, Level, Report, Sink};
use crate::text::Span;
use jiff::civil::Date;
use rayon::prelude::*;

/// Judges a draft: what reading complained about, what the rules find, and what was found while the card was laid out.
/// `today` is known only to `inspect`.
///
/// Searching can only be judged on pages that will be made: `findable` is asked once there are no errors, if it is given.
pub fn inspect(
    draft: &Draft,
    facts: &Facts,
    today: Option<Date>,
    laid_out: Vec<Finding>,
    findable: Option<fn(&Guide, &Facts) -> Findable>,
) -> Report {
    let half_read = half_read(draft);
    let mut subject = Subject { guide: &draft.guide, facts, half_read: &half_read, today, findable: None };
    let mut found = run_rules(&subject);
    found.extend(laid_out);
    let report = judge(draft, found.clone(), false);
    let errors = report.findings.iter().any(|judged| judged.level == Level::Error);
    let Some(findable) = findable.filter(|_| !errors) else { return report };
    let findable = findable(&draft.guide, facts);
    subject.findable = Some(&findable);
    late().filter_map(|rule| rule.check).for_each(|check| check(&subject, &mut found));
    judge(draft, found, true)
}

/// Rules that wait until there are no errors.
fn late() -> impl Iterator<Item = &'static &'static Rule> {
    search::RULES.iter().chain(faults::OF_PLANS)
}

/// What could not be read whole of the entries that cover parts.
fn half_read(draft: &Draft) -> Vec<Span> {
    let folders = ["faults/", "procedures/"];
    let covers = |span: &&Span| folders.iter().any(|folder| draft.sources.path(span.file).starts_with(folder));
    draft.silenced.iter().filter(covers).copied().collect()
}

fn judge(draft: &Draft, found: Vec<Finding>, searched: bool) -> Report {
    let mut sink = Sink::new(catalogue::all().iter().map(|rule| &rule.info));
    sink.extend(draft.findings.iter().cloned());
    sink.silence(draft.silenced.iter().copied());
    sink.doubt(draft.doubted.iter().copied());
    sink.extend(found);
    let (mut softenings, findings) = softening::of(draft);
    // A softening is not idle while its rule waits.
    softenings.retain(|soften| searched || late().all(|rule| rule.info.name != soften.rule));
    sink.extend(findings);
    sink.soften(softenings);
    sink.judge(&draft.sources)
}

fn run_rules(subject: &Subject<'_>) -> Vec<Finding> {
    let found: Vec<Vec<Finding>> = catalogue::all()
        .par_iter()
        .filter_map(|rule| rule.check)
        .map(|check| {
            let mut found = Vec::new();
            check(subject, &mut found);
            found
        })
        .collect();
    found.into_iter().flatten().collect()
}
