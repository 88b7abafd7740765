//! `hose-without-part`

use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "hose-without-part";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Warning,
        matters: "A hose without a part has no number to order it by, and no hazards where a step opens it.",
        page: include_str!("hose-without-part.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for circuit in &subject.guide.circuits {
        let Some((like, part)) = circuit.hoses.iter().find_map(|hose| Some((hose, hose.part.as_ref()?))) else {
            continue;
        };
        for hose in circuit.hoses.iter().filter(|hose| hose.part.is_none()) {
            let wrong =
                format!("The hose `{}` names no part; `{}` of the same table does.", hose.id.value, like.id.value);
            let remedy = format!("Add `part = \"{}\"`, or the part that this hose is ordered as.", part.value);
            found.push(Finding::new(NAME, hose.id.span, wrong, remedy).with(part.span, "the part of another hose"));
        }
    }
}
