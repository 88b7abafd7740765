//! `causes-never-told-apart`

use crate::inspect::wording::listed;
use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "causes-never-told-apart";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Error,
        matters: "Both repairs fit every answer, so the technician would toss a coin between them.",
        page: include_str!("causes-never-told-apart.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for (fault, facts) in super::sure_faults(subject) {
        for (at, (cause, known)) in fault.causes.iter().zip(&facts.causes).enumerate() {
            let earlier: Vec<_> =
                known.never_told_from.range(..at).filter_map(|other| fault.causes.get(*other)).collect();
            let earlier: Vec<_> =
                earlier.into_iter().filter(|other| cause.repair.is_some() && other.repair.is_some()).collect();
            if earlier.is_empty() {
                continue;
            }
            let others = listed(earlier.iter().map(|other| other.id.value.as_str()));
            let wrong = format!(
                "No check tells the cause `{}` apart from {others}: their repairs differ, and wherever an answer leaves \
                 one of them, some answer of the same check leaves both.",
                cause.id.value
            );
            let remedy = format!(
                "Add a check that asks for what differs between them, so that no answer of it leaves `{}` together with \
                 {others}.",
                cause.id.value
            );
            let finding = Finding::new(NAME, cause.id.span, wrong, remedy);
            found.push(earlier.iter().fold(finding, |finding, other| finding.with(other.id.span, "the other cause")));
        }
    }
}
