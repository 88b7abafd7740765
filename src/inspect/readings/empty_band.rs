//! `empty-band`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "empty-band";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "readings",
        level: Level::Error,
        matters: "A band that ends before it begins can never be met, and the verdict in it never given.",
        page: include_str!("empty-band.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for band in subject.guide.readings.iter().flat_map(|reading| &reading.bands) {
        let (Some(from), Some(to)) = (&band.from, &band.to) else { continue };
        if from.value >= to.value {
            let wrong = format!(
                "The band `{}` holds no value: it begins at {} and ends at {}.",
                band.id.value, from.value, to.value
            );
            let remedy = "Swap `from` and `to`, or correct the one that was mistyped.";
            found.push(Finding::new(NAME, to.span, wrong, remedy).with(from.span, "where it begins"));
        }
    }
}
