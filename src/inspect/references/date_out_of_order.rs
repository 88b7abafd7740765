//! `date-out-of-order`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};
use jiff::civil::Date;

const NAME: &str = "date-out-of-order";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "references",
        level: Level::Warning,
        matters: "Dates tell an old copy from a new one, and which of two values holds.",
        page: include_str!("date-out-of-order.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let edition = &subject.guide.edition.date;
    // Without a date that could be read there is nothing to compare.
    if edition.span.is_nowhere() {
        return;
    }
    for bulletin in subject.guide.bulletins.iter().filter(|it| it.date.value > edition.value) {
        let wrong = format!(
            "Bulletin {} is of {}, the edition that works it in is of {}.",
            bulletin.number.value, bulletin.date.value, edition.value
        );
        let remedy = "Correct the date of the bulletin, or give the guide a new edition with its own date.";
        found.push(Finding::new(NAME, bulletin.date.span, wrong, remedy).with(edition.span, "the edition"));
    }
    let Some(today) = subject.today else { return };
    if let Some(limit) = in_a_year(today).filter(|limit| edition.value > *limit) {
        let wrong = format!("The edition is of {}, later than {limit}, a year from today.", edition.value);
        found.push(Finding::new(NAME, edition.span, wrong, "Write the day on which the edition is to be published."));
    }
    for record in subject.guide.job_records.iter().filter(|record| record.date.value > today) {
        let wrong = format!("This job was done on {}, a day still to come.", record.date.value);
        let remedy = "Correct the date of the job, or the clock of the device that wrote the record.";
        found.push(Finding::new(NAME, record.date.span, wrong, remedy));
    }
}

fn in_a_year(today: Date) -> Option<Date> {
    today.checked_add(jiff::Span::new().years(1)).ok()
}
