//! `path-open`

use crate::inspect::{Rule, Subject};
use crate::model::{Node, NodeKind, WiringPath};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "path-open";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "wiring",
        level: Level::Error,
        matters: "Current goes from the supply through the load to ground; a path that does not is another machine's.",
        page: include_str!("path-open.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for path in &subject.guide.wiring {
        check_ends(path, found);
        let kinds = |kind| path.nodes.iter().filter(move |node| node.kind.value == kind);
        if kinds(NodeKind::Load).next().is_none() {
            let wrong = format!("The path `{}` feeds no load.", path.head.id.value);
            let remedy = "Add the node of kind `load`: the motor, lamp or coil that the path is there for.";
            found.push(Finding::new(NAME, path.head.id.span, wrong, remedy));
        }
        for switch in kinds(NodeKind::Switch).filter(|node| node.closed_when.is_none()) {
            let wrong = format!("Nobody can tell when the switch `{}` is closed.", switch.id.value);
            let remedy = "Add `closed_when` with the words for it, such as \"the key is on\".";
            found.push(Finding::new(NAME, switch.kind.span, wrong, remedy));
        }
    }
}

fn check_ends(path: &WiringPath, found: &mut Vec<Finding>) {
    let (Some(first), Some(last)) = (path.nodes.first(), path.nodes.last()) else {
        let wrong = format!("The path `{}` has no nodes.", path.head.id.value);
        found.push(Finding::new(NAME, path.head.id.span, wrong, "Add the nodes in order, from the supply to ground."));
        return;
    };
    let ends = [(first, NodeKind::Supply, "begins", "supply"), (last, NodeKind::Ground, "ends", "ground")];
    for (node, kind, verb, word) in ends {
        if node.kind.value != kind {
            let wrong = format!("The path `{}` {verb} at `{}`, not at a {word}.", path.head.id.value, node.id.value);
            let remedy =
                format!("Add the node of kind `{word}` there, or put the nodes into the order of the current.");
            found.push(Finding::new(NAME, node.kind.span, wrong, remedy));
        }
    }
    let inner = path.nodes.iter().skip(1).take(path.nodes.len().saturating_sub(2));
    found.extend(inner.filter(|node| is_an_end(node)).map(|node| in_between(path, node)));
}

fn is_an_end(node: &Node) -> bool {
    matches!(node.kind.value, NodeKind::Supply | NodeKind::Ground)
}

fn in_between(path: &WiringPath, node: &Node) -> Finding {
    let wrong = format!("`{}` stands in the middle of the path `{}`.", node.id.value, path.head.id.value);
    let remedy =
        "A path has one supply, at its beginning, and one ground, at its end. Put a second way into a file of its own.";
    Finding::new(NAME, node.kind.span, wrong, remedy)
}
