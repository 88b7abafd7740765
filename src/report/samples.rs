//! A report to test the formats with.

use super::{Finding, Judged, Level, Report, RuleInfo};
use crate::text::{Sources, Span};

pub(super) static RULE: RuleInfo = RuleInfo {
    name: "sample-rule",
    family: "samples",
    level: Level::Error,
    matters: "It matters.",
    page: "# sample-rule\n\nWhat it finds.\n",
    softenable: true,
};

/// One finding on the second line of a file, and the same softened on the first.
pub(super) fn report(wrong: &str, level: Level) -> (Sources, Report) {
    let mut sources = Sources::default();
    let file = sources.add("faults/a b.toml", "first = 1\nä = \"µm\"\n");
    let finding =
        |start: usize, end: usize| Finding::new("sample-rule", Span::new(file, start..end), wrong, "Write it.");
    let hard = finding(15, 20).with(Span::new(file, 0..5), "the other place");
    let soft = finding(0, 5);
    let judged = |finding, level, softened| Judged { finding, level, rule: &RULE, softened };
    let findings = vec![judged(hard, level, None), judged(soft, Level::Advice, Some("A reason.".to_owned()))];
    (sources, Report { findings, ..Report::default() })
}
