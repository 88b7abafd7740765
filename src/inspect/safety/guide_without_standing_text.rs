//! `guide-without-standing-text`

use crate::inspect::{Rule, Subject};
use crate::model::Prose;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "guide-without-standing-text";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "safety",
        level: Level::Error,
        matters: "Whoever finds the guide must read that it does not replace training, the maker or the law.",
        page: include_str!("guide-without-standing-text.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let edition = &subject.guide.edition;
    // A guide whose first table could not be read is reported by the rules of form.
    if !edition.span.is_nowhere() && edition.standing.as_ref().is_none_or(Prose::is_empty) {
        let wrong = "The guide does not say who may work after it, and whose instructions come first.";
        let remedy = "Add `standing = \"…\"` to `[guide]`: only trained people authorised by the owner; the maker's \
            instructions and local codes come first; work that needs a licence is left to its holder.";
        found.push(Finding::new(NAME, edition.title.span, wrong, remedy));
    }
}
