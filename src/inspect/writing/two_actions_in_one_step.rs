//! `two-actions-in-one-step`

use std::collections::BTreeSet;

use super::actions::second_action;
use crate::inspect::{Rule, Subject};
use crate::model::{Procedure, Prose};
use crate::report::{Finding, Level, RuleInfo};
use crate::text::Span;

const NAME: &str = "two-actions-in-one-step";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "writing",
        level: Level::Advice,
        matters: "A step is ticked once: of two actions in it, the second is the one that was not done.",
        page: include_str!("two-actions-in-one-step.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let sites = subject.guide.index.prose.iter().filter(|site| site.exact);
    let exact: BTreeSet<Span> = sites.map(|site| site.span).collect();
    for procedure in &subject.guide.procedures {
        found.extend(actions(procedure).filter_map(|action| finding(action, exact.contains(&action.span))));
    }
}

fn actions(procedure: &Procedure) -> impl Iterator<Item = &Prose> {
    procedure.steps.iter().filter_map(|step| step.action.as_ref())
}

fn finding(action: &Prose, exact: bool) -> Option<Finding> {
    let second = second_action(&action.markdown)?;
    let said = action.markdown.get(second.clone())?;
    let wrong = format!("With \"{said}\" a second action begins in this step.");
    let remedy = "Make a step of its own for it. What is done at the same time may stay together: say \"at the same time\" or \
                  \"while\".";
    let place = if exact { action.span.inner(second) } else { action.span };
    Some(Finding::new(NAME, place, wrong, remedy))
}
