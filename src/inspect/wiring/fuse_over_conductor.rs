//! `fuse-over-conductor`

use crate::inspect::{Rule, Subject};
use crate::model::quantity::Exact;
use crate::model::{Node, WiringPath};
use crate::reason::{Machine, PathFacts, value_on};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "fuse-over-conductor";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "wiring",
        level: Level::Error,
        matters: "The wire burns before the fuse blows.",
        page: include_str!("fuse-over-conductor.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for (path, facts) in super::paths(subject) {
        let nodes = path.nodes.iter().enumerate();
        found.extend(nodes.filter_map(|(index, fuse)| too_large(path, facts, index, fuse)));
    }
}

fn too_large(path: &WiringPath, facts: &PathFacts, index: usize, fuse: &Node) -> Option<Finding> {
    let rating = &value_on(&fuse.rating, &facts.machine)?.value;
    let thin = facts.wires.iter().filter(|wire| wire.fuse == Some(index));
    let thin = thin.filter_map(|wire| Some((path.nodes.get(wire.node)?, wire.bears?, wire.rated)));
    let thin: Vec<_> = thin.filter(|(_, bears, _)| *bears < rating.value.base()).collect();
    let (node, bears, rated) = thin.iter().min_by_key(|(node, bears, _)| (*bears, node.id.span))?;
    let size = size_on(node, &facts.machine);
    let why = if *rated { "by its own rating".to_owned() } else { format!("with {size}") };
    let wrong = format!(
        "The fuse `{}` is {}, but the wire `{}` behind it bears no more than {} A {why}.",
        fuse.id.value,
        rating.value,
        node.id.value,
        ampere(*bears)
    );
    let remedy = "Correct the rating or the size. If both are right, the machine needs a smaller fuse or a thicker wire: tell \
                  its maker, and do not publish.";
    let finding = Finding::new(NAME, rating.span, wrong, remedy);
    Some(thin.iter().fold(finding, |finding, (node, ..)| finding.with(node.id.span, "a wire behind the fuse")))
}

fn size_on(node: &Node, machine: &Machine) -> String {
    value_on(&node.size, machine).map(|size| size.value.value.to_string()).unwrap_or_default()
}

/// Tenths are enough: the table has no finer value.
fn ampere(value: Exact) -> String {
    let tenths = (value * Exact::from_integer(10)).round().to_integer();
    if tenths % 10 == 0 { (tenths / 10).to_string() } else { format!("{}.{}", tenths / 10, tenths % 10) }
}
