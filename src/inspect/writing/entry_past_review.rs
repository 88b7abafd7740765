//! `entry-past-review`

use crate::inspect::{Rule, Subject};
use crate::model::AnyEntry;
use crate::report::{Finding, Level, RuleInfo};
use jiff::civil::Date;

const NAME: &str = "entry-past-review";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "writing",
        level: Level::Warning,
        matters: "Nobody has compared this page with the machine for longer than the guide allows.",
        page: include_str!("entry-past-review.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let Some(today) = subject.today else { return };
    let months = subject.guide.edition.review_months.as_ref().map(|months| months.value);
    for entry in subject.guide.entries() {
        found.extend(not_yet(entry, today).or_else(|| overdue(entry, today, months?)));
    }
}

fn not_yet(entry: AnyEntry<'_>, today: Date) -> Option<Finding> {
    let reviewed = entry.head.reviewed.as_ref().filter(|reviewed| reviewed.value > today)?;
    let wrong = format!("This {} was reviewed on {}, a day still to come.", entry.kind.word(), reviewed.value);
    let remedy = "Write the day on which somebody compared it with the machine.";
    Some(Finding::new(NAME, reviewed.span, wrong, remedy))
}

fn overdue(entry: AnyEntry<'_>, today: Date, months: u32) -> Option<Finding> {
    let reviewed = entry.head.reviewed.as_ref()?;
    let period = jiff::Span::new().try_months(i64::from(months)).ok()?;
    let due = reviewed.value.checked_add(period).ok().filter(|due| *due < today)?;
    let wrong = format!(
        "This {} was reviewed on {}; {months} months later, on {due}, the next review was due.",
        entry.kind.word(),
        reviewed.value
    );
    let remedy = "Compare it with the machine and its sources, correct it, and write the day of today into `reviewed`.";
    Some(Finding::new(NAME, reviewed.span, wrong, remedy))
}
