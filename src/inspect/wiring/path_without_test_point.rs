//! `path-without-test-point`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "path-without-test-point";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "wiring",
        level: Level::Warning,
        matters: "A path that cannot be measured anywhere can only be mended by changing everything on it.",
        page: include_str!("path-without-test-point.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for path in subject.guide.wiring.iter().filter(|path| path.test_points.is_empty()) {
        let wrong = format!("The path `{}` has no test point.", path.head.id.value);
        let remedy = "Add at least one `[[test_point]]`, best near the middle of the path: `after`, `says`, and what to `expect`.";
        found.push(Finding::new(NAME, path.head.id.span, wrong, remedy));
    }
}
