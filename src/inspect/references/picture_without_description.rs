//! `picture-without-description`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "picture-without-description";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "references",
        level: Level::Error,
        matters: "Who cannot see the picture, or prints it too dark, must still learn what it shows.",
        page: include_str!("picture-without-description.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for picture in subject.guide.index.pictures.iter().filter(|picture| !picture.described) {
        let wrong = format!("The picture \"{}\" has no description.", picture.file);
        let remedy =
            "Say in a sentence what it shows: `says = \"…\"` beside `file`, or between the brackets in Markdown.";
        found.push(Finding::new(NAME, picture.span, wrong, remedy));
    }
}
