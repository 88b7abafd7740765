//! `step-without-action`

use crate::inspect::{Rule, Subject};
use crate::model::{Prose, Step};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "step-without-action";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "procedures",
        level: Level::Error,
        matters: "A step that says nothing to do is skipped, with whatever was meant by it.",
        page: include_str!("step-without-action.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for procedure in &subject.guide.procedures {
        if procedure.steps.is_empty() {
            let wrong = format!("The procedure `{}` has no step.", procedure.head.id.value);
            let remedy = "Add a table `[[step]]` with `do` for each thing to do.";
            found.push(Finding::new(NAME, procedure.head.id.span, wrong, remedy));
        }
        for (number, step) in procedure.steps.iter().enumerate().filter(|(_, step)| !acts(step)) {
            let wrong = format!("Step {} of `{}` does not say what to do.", number + 1, procedure.head.id.value);
            let remedy =
                "Add `do = \"…\"` with one action, or `run` with the procedure that is meant; or take the step out.";
            found.push(Finding::new(NAME, step.span, wrong, remedy));
        }
    }
}

/// True where the step runs a procedure, or its text has at least one word.
fn acts(step: &Step) -> bool {
    step.run.is_some() || step.action.as_ref().is_some_and(has_words)
}

fn has_words(prose: &Prose) -> bool {
    prose.markdown.split(|letter: char| !letter.is_alphabetic()).any(|word| word.chars().count() > 1)
}
