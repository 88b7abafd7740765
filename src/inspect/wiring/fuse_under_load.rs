//! `fuse-under-load`

use crate::inspect::{Rule, Subject};
use num_traits::CheckedMul;

use crate::model::quantity::Exact;
use crate::model::{Node, NodeKind, WiringPath};
use crate::reason::{PathFacts, value_on};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "fuse-under-load";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "wiring",
        level: Level::Error,
        matters: "A fuse too small blows in ordinary running, and somebody will fit a larger one.",
        page: include_str!("fuse-under-load.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for (path, facts) in super::paths(subject) {
        let fuses = path.nodes.iter().filter(|node| node.kind.value == NodeKind::Fuse);
        found.extend(fuses.filter_map(|fuse| too_small(path, facts, fuse)));
    }
}

fn too_small(path: &WiringPath, facts: &PathFacts, fuse: &Node) -> Option<Finding> {
    let rating = &value_on(&fuse.rating, &facts.machine)?.value;
    let current = &value_on(&path.load_current, &facts.machine)?.value;
    let wanted = facts.current?.checked_mul(&Exact::new(5, 4))?;
    if rating.value.base() >= wanted {
        return None;
    }
    let wrong = format!(
        "The fuse `{}` is {}, less than 1.25 times the {} that the load draws.",
        fuse.id.value, rating.value, current.value
    );
    let remedy =
        "Correct the rating or `load_current`. If both are right, soften the rule for this path and say why it holds.";
    Some(Finding::new(NAME, rating.span, wrong, remedy).with(current.span, "the current of the load"))
}
