//! `act-band-without-remedy`

use std::collections::BTreeSet;

use crate::inspect::{Rule, Subject};
use crate::model::Verdict;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "act-band-without-remedy";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "readings",
        level: Level::Warning,
        matters: "\"Act\" with nothing to do sends the technician to the telephone.",
        page: include_str!("act-band-without-remedy.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let answered = answered(subject);
    for reading in &subject.guide.readings {
        for band in reading.bands.iter().filter(|band| band.verdict.value == Verdict::Act) {
            let led_on = band.procedure.is_some()
                || band.fault.is_some()
                || answered.contains(&(reading.head.id.value.as_str(), band.id.value.as_str()));
            if !led_on {
                let wrong = format!("The band `{}` says to act, and nothing says what to do.", band.id.value);
                let remedy = "Add `procedure` or `fault` to the band; or name the band in an answer of a check that takes this \
                              reading.";
                found.push(Finding::new(NAME, band.verdict.span, wrong, remedy));
            }
        }
    }
}

/// Reading and band of every answer that names a band.
fn answered<'g>(subject: &Subject<'g>) -> BTreeSet<(&'g str, &'g str)> {
    let checks = subject.guide.faults.iter().flat_map(|fault| &fault.checks);
    let bands = checks.flat_map(|check| {
        let reading = check.reading.as_ref();
        let answers = check.answers.iter().flat_map(|answer| &answer.bands);
        answers.filter_map(move |band| Some((reading?.as_str(), band.as_str())))
    });
    bands.collect()
}
