//! `unknown-signal-value`

use crate::inspect::{Rule, Subject};
use crate::model::Condition;
use crate::reason::sequences::can_have;
use crate::report::{Finding, Level, RuleInfo};
use crate::text::nearest;

const NAME: &str = "unknown-signal-value";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "sequences",
        level: Level::Error,
        matters: "A signal that never has this value: the step would wait for ever, on paper and in the bay.",
        page: include_str!("unknown-signal-value.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for sequence in &subject.guide.sequences {
        let steps = sequence.steps.iter();
        let conditions = steps.flat_map(|step| step.needs.iter().chain(&step.sets).chain(&step.ends_on));
        for condition in sequence.start.iter().chain(conditions).filter(|it| !can_have(subject.guide, it)) {
            found.extend(finding(subject, condition));
        }
    }
}

fn finding(subject: &Subject<'_>, condition: &Condition) -> Option<Finding> {
    let signal = subject.guide.signals.get(&condition.signal.value)?;
    let values: Vec<&str> = signal.values.iter().map(|value| value.value.as_str()).collect();
    let value = &condition.value;
    let wrong = format!("The signal `{}` has no value \"{}\".", condition.signal.value, value.value);
    let remedy = match nearest(value, values.iter().copied()) {
        Some(known) => format!("Write \"{known}\", if that was meant; else one of: {}.", values.join(", ")),
        None => format!("Write one of its values ({}), or add this one to the signal.", values.join(", ")),
    };
    Some(Finding::new(NAME, value.span, wrong, remedy).with(signal.head.id.span, "the signal"))
}
