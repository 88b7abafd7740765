//! `drop-over-budget`

use crate::inspect::{Rule, Subject};
use crate::model::WiringPath;
use crate::model::quantity::Exact;
use crate::reason::{PathFacts, value_on};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "drop-over-budget";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "wiring",
        level: Level::Error,
        matters: "By its own figures the path loses more than it may, so a technician would hunt a fault that is not there.",
        page: include_str!("drop-over-budget.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    found.extend(super::paths(subject).filter_map(|(path, facts)| over(path, facts)));
}

fn over(path: &WiringPath, facts: &PathFacts) -> Option<Finding> {
    let budget = &value_on(&path.drop_budget, &facts.machine)?.value;
    let current = &value_on(&path.load_current, &facts.machine)?.value;
    let drop = facts.drop.filter(|drop| *drop > budget.value.base())?;
    let wrong = format!(
        "At {} the wires of this path lose {} V, more than the {} they may.",
        current.value,
        hundredths(drop),
        budget.value
    );
    let remedy = "Correct size or length of the wires, the current or the budget; lengths are those of the wires as listed, there \
                  and back.";
    let mut finding = Finding::new(NAME, budget.span, wrong, remedy);
    for wire in facts.wires.iter().filter(|wire| wire.drop.is_some()) {
        if let (Some(node), Some(drop)) = (path.nodes.get(wire.node), wire.drop) {
            finding = finding.with(node.id.span, format!("this wire loses {} V", hundredths(drop)));
        }
    }
    Some(finding)
}

fn hundredths(value: Exact) -> String {
    let hundredths = (value * Exact::from_integer(100)).round().to_integer();
    format!("{}.{:02}", hundredths / 100, hundredths % 100)
}
