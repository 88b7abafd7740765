//! `repair-that-touches-nothing`

use std::sync::LazyLock;

use regex::Regex;

use super::repairs;
use crate::inspect::{Rule, Subject};
use crate::model::{Entry, Procedure, Prose, Touches};
use crate::report::{Finding, Level, RuleInfo};
use crate::text::Span;

const NAME: &str = "repair-that-touches-nothing";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "procedures",
        level: Level::Warning,
        matters: "Hazards and recalibration are worked out from the parts a repair names: one that names none has neither.",
        page: include_str!("repair-that-touches-nothing.md"),
        softenable: true,
    },
    check: Some(check),
};

/// Words with which a step begins to take something apart or to put something new in. Common practice, no source.
static TAKES_APART: LazyLock<Option<Regex>> = LazyLock::new(|| {
    let words =
        "unscrew|unbolt|unplug|undo|detach|disconnect|remove|dismantle|loosen|slacken|replace|renew|exchange|cut|pry";
    Regex::new(&format!(r"(?i)^\W*(?:(?:{words})\b|(?:take|pull|lift|screw)\b[^.]*\b(?:off|out)\b)")).ok()
});

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for (procedure, _) in repairs(subject) {
        let touches = procedure.steps.iter().map(|step| &step.touches).chain([&procedure.touches]);
        if touches.into_iter().any(touches_something) {
            continue;
        }
        if let Some((number, span)) = first_that_takes_apart(procedure) {
            let wrong = format!(
                "Step {number} of `{}` takes something apart, but neither it nor the procedure names a part.",
                procedure.id()
            );
            let remedy =
                "Add `opens`, `moves` or `disturbs` with the ids of the parts to the procedure or to the step.";
            found.push(Finding::new(NAME, span, wrong, remedy));
        }
    }
}

fn touches_something(touches: &Touches) -> bool {
    !touches.opens.is_empty() || !touches.moves.is_empty() || !touches.disturbs.is_empty()
}

fn first_that_takes_apart(procedure: &Procedure) -> Option<(usize, Span)> {
    let takes_apart = |prose: &Prose| TAKES_APART.as_ref().is_some_and(|words| words.is_match(&prose.markdown));
    let actions = procedure.steps.iter().enumerate().filter_map(|(at, step)| Some((at + 1, step.action.as_ref()?)));
    actions.filter(|(_, action)| takes_apart(action)).map(|(number, action)| (number, action.span)).next()
}
