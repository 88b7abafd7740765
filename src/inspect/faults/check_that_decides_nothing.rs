//! `check-that-decides-nothing`

use std::collections::BTreeSet;

use crate::inspect::wording::counted;
use crate::inspect::{Rule, Subject};
use crate::model::Check;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "check-that-decides-nothing";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Error,
        matters: "It costs minutes, and the technician knows no more after it.",
        page: include_str!("check-that-decides-nothing.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for fault in &subject.guide.faults {
        let Some(facts) = subject.facts.faults.get(fault.head.id.value.as_str()) else { continue };
        for (check, known) in fault.checks.iter().zip(&facts.checks) {
            if known.sure && !known.decides && fault.causes.iter().all(|cause| cause.repair.is_some()) {
                found.push(undecided(check));
            }
            check_words(check, found);
        }
    }
}

fn undecided(check: &Check) -> Finding {
    let wrong = match check.answers.len() {
        0 | 1 => format!("The check `{}` has {}.", check.id.value, counted(check.answers.len(), "answer")),
        _ => format!("Every answer of the check `{}` leaves the same repairs.", check.id.value),
    };
    let remedy = "Give it at least two answers that leave causes with different repairs, or take the check out.";
    Finding::new(NAME, check.id.span, wrong, remedy)
}

/// Two answers in the same words are one answer to the person who has to choose.
fn check_words(check: &Check, found: &mut Vec<Finding>) {
    let mut seen = BTreeSet::new();
    for answer in &check.answers {
        let words = answer.says.value.to_lowercase();
        let words: Vec<&str> = words.trim_end_matches(['.', '!', ' ']).split_whitespace().collect();
        if !seen.insert(words.join(" ")) {
            let wrong = format!("Two answers of the check `{}` read \"{}\".", check.id.value, answer.says.value);
            let remedy = "Say in each answer what is seen or measured, so that only one of them can be true.";
            found.push(Finding::new(NAME, answer.says.span, wrong, remedy));
        }
    }
}
