//! `variant-covered-twice`

use std::collections::BTreeSet;

use crate::inspect::{Rule, Subject};
use crate::model::{Link, Variant};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "variant-covered-twice";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "references",
        level: Level::Error,
        matters: "Two values for one machine: the technician cannot know which of them to trust.",
        page: include_str!("variant-covered-twice.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for value in &subject.guide.index.varied {
        let for_all = value.records.iter().any(Option::is_none);
        let mut seen = BTreeSet::new();
        let known = |link: &&Link<Variant>| subject.guide.variants.get(&link.value).is_some();
        for link in value.records.iter().flatten().flatten().filter(known) {
            if for_all || !seen.insert(link.value.as_str()) {
                let wrong = format!("`{}` has more than one record that holds for {}.", value.role, link.value);
                let remedy = "Leave one record for each variant; a record without `variants` holds for all of them.";
                found.push(Finding::new(NAME, link.span, wrong, remedy));
            }
        }
    }
}
