//! `pressure-without-relief`

use std::collections::BTreeSet;

use super::rows::Rows;
use crate::inspect::{Rule, Subject};
use crate::model::PassageKind;
use crate::reason::hydraulics::{Operation, OperationFacts, Spill, Way, turned_reliefs};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "pressure-without-relief";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hydraulics",
        level: Level::Error,
        matters: "Without a relief valve the weakest part gives way: a hose, a seal, or the hand near it.",
        page: include_str!("pressure-without-relief.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let rows = Rows::of(subject);
    let mut said = BTreeSet::new();
    let all = rows.solved().flat_map(|machine| machine.operations.iter().map(move |facts| (machine, facts)));
    for (machine, facts) in all {
        let Operation::Run { pump, way } = &facts.operation else { continue };
        let Some(row) = rows.book.pump(pump) else { continue };
        if facts.spill != Spill::Nothing || !has_relief(subject, facts) || !said.insert((pump.clone(), *way)) {
            continue;
        }
        let port = if *way == Way::Forward { Some(&row.forward) } else { row.reverse.as_ref() };
        let Some(port) = port else { continue };
        let wrong = format!(
            "With {} no relief valve opens a way out of the port `{}`: nothing limits the pressure.",
            rows.direction(&facts.operation),
            port.value
        );
        let turned = turned_reliefs(subject.guide, &machine.machine, &facts.operation);
        if let [id] = turned.as_slice()
            && let Some(row) = rows.book.passage(id)
        {
            let remedy = format!("Turn the relief valve `{id}` round: exchange its `from` and `to`.");
            found.push(Finding::new(NAME, row.from.span, wrong, remedy).with(port.span, "the port"));
            continue;
        }
        let remedy = "Correct `from` and `to` of the relief valve of this side, or add its passage.";
        found.push(Finding::new(NAME, port.span, wrong, remedy));
    }
}

/// True where the table of the pump's circuit tells of relief valves at all.
fn has_relief(subject: &Subject<'_>, facts: &OperationFacts) -> bool {
    let circuit = facts.circuit.as_ref().and_then(|id| subject.guide.circuits.get(id));
    circuit.is_some_and(|circuit| circuit.passages.iter().any(|one| one.kind.value == PassageKind::Relief))
}
