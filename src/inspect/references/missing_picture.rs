//! `missing-picture`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};
use crate::text::nearest;

const NAME: &str = "missing-picture";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "references",
        level: Level::Error,
        matters: "Where the picture should show which hose is meant, the page would show a hole.",
        page: include_str!("missing-picture.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let media = &subject.guide.index.media;
    for picture in &subject.guide.index.pictures {
        if media.contains_key(&picture.file) {
            continue;
        }
        let file: String = picture.file.chars().filter(|letter| !letter.is_control()).take(60).collect();
        let last = picture.file.rsplit(['/', '\\']).next().unwrap_or_default();
        let remedy = match nearest(&picture.file, media.keys().map(String::as_str)) {
            _ if media.contains_key(last) => format!("Write \"{last}\": the name alone, without a folder."),
            Some(known) => format!("Write \"{known}\", if that was meant; else put the file into media/."),
            None => format!("Put a file \"{file}\" straight into media/, or take the picture out."),
        };
        let wrong = format!("media/ holds no picture \"{file}\".");
        found.push(Finding::new(NAME, picture.span, wrong, remedy));
    }
}
