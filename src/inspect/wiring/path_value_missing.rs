//! `path-value-missing`

use crate::inspect::{Rule, Subject};
use crate::model::{Node, NodeKind, WiringPath};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "path-value-missing";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "wiring",
        level: Level::Warning,
        matters: "Without this figure the drop and the fuse of the path cannot be checked by anybody.",
        page: include_str!("path-value-missing.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for path in &subject.guide.wiring {
        check_path(path, found);
        found.extend(path.nodes.iter().filter_map(of_node));
    }
}

fn check_path(path: &WiringPath, found: &mut Vec<Finding>) {
    let values = [("supply", &path.supply), ("load_current", &path.load_current), ("drop_budget", &path.drop_budget)];
    let missing: Vec<String> =
        values.iter().filter(|(_, value)| value.is_empty()).map(|(key, _)| format!("`{key}`")).collect();
    if !missing.is_empty() {
        let wrong = format!("The path `{}` has no {}.", path.head.id.value, missing.join(", "));
        let remedy = format!("Add {} to `[path]`, with unit and source.", missing.join(", "));
        found.push(Finding::new(NAME, path.head.id.span, wrong, remedy));
    }
}

fn of_node(node: &Node) -> Option<Finding> {
    let wanted: &[(&str, bool)] = match node.kind.value {
        NodeKind::Fuse => &[("rating", node.rating.is_empty())],
        NodeKind::Wire => &[("size", node.size.is_empty()), ("length", node.length.is_empty())],
        _ => return None,
    };
    let missing: Vec<String> = wanted.iter().filter(|(_, gone)| *gone).map(|(key, _)| format!("`{key}`")).collect();
    let listed = missing.join(" and ");
    let wrong = format!("`{}` has no {listed}.", node.id.value);
    let remedy = format!("Add {listed}, with unit and source.");
    (!missing.is_empty()).then(|| Finding::new(NAME, node.id.span, wrong, remedy))
}
