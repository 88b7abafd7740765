//! `part-not-covered-by-any-fault`

use std::collections::BTreeSet;

use crate::inspect::{Rule, Subject};
use crate::model::{Id, Sequence, SequenceStep};
use crate::reason::Suspect;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "part-not-covered-by-any-fault";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "sequences",
        level: Level::Error,
        matters: "When the machine stops at this step for that part, no fault of the guide would find it.",
        page: include_str!("part-not-covered-by-any-fault.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    // A part that no fault covers at all is told once, where it is met first.
    let mut told = BTreeSet::new();
    let mut sequences: Vec<&Sequence> = subject.guide.sequences.iter().collect();
    sequences.sort_by_key(|sequence| sequence.head.id.span);
    for sequence in sequences {
        for (step, facts) in super::steps(subject, sequence) {
            for suspect in facts.suspects.iter().filter(|suspect| !is_covered(subject, step, suspect)) {
                let elsewhere: Vec<&str> = subject.facts.coverage.faults_of(&suspect.part).map(Id::as_str).collect();
                if !elsewhere.is_empty() || told.insert(suspect.part.clone()) {
                    found.push(finding(step, suspect, &elsewhere));
                }
            }
        }
    }
}

fn is_covered(subject: &Subject<'_>, step: &SequenceStep, suspect: &Suspect) -> bool {
    let known = subject.guide.parts.get(&suspect.part).is_some();
    !known || step.faults.iter().any(|fault| subject.facts.coverage.covers(&fault.value, &suspect.part))
}

fn finding(step: &SequenceStep, suspect: &Suspect, elsewhere: &[&str]) -> Finding {
    let part = &suspect.part;
    let what = match &suspect.signal {
        Some(signal) => format!("waits for `{signal}`, which comes from `{part}`"),
        None => format!("drives `{part}`"),
    };
    let (whose, remedy) = if elsewhere.is_empty() {
        let remedy = format!(
            "Add a cause or a check that opens, moves, disturbs or links to `{part}` to a fault, and name the fault in `faults` of the step."
        );
        ("no fault of the guide", remedy)
    } else {
        let some: Vec<String> = elsewhere.iter().take(3).map(|id| format!("`{id}`")).collect();
        (
            "none of its `faults`",
            format!("Name a fault that covers it in `faults` of the step, such as {}.", some.join(", ")),
        )
    };
    let wrong = format!("The step `{}` {what}, but {whose} covers that part.", step.id.value);
    Finding::new(NAME, suspect.span, wrong, remedy)
}
