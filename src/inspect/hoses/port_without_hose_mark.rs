//! `port-without-hose-mark`

use std::collections::BTreeMap;

use crate::inspect::{Rule, Subject};
use crate::model::{Circuit, Hose};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "port-without-hose-mark";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Warning,
        matters: "Two rows in each other's place are noticed only where the ports say which hose they take.",
        page: include_str!("port-without-hose-mark.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for circuit in &subject.guide.circuits {
        let Some(said) = circuit.ports.iter().find_map(|port| port.takes.first()) else { continue };
        let hoses = hoses_at(circuit);
        for port in circuit.ports.iter().filter(|port| port.takes.is_empty()) {
            let Some(hoses) = hoses.get(port.id.value.as_str()) else { continue };
            let wrong =
                format!("The port `{}` does not say which hose it takes; others of this table do.", port.id.value);
            let remedy = format!(
                "Add `takes = [{}]`, after a look at the machine: the marks of the hoses that belong here.",
                quoted(hoses)
            );
            found.push(Finding::new(NAME, port.id.span, wrong, remedy).with(said.span, "a port that says it"));
        }
    }
}

fn hoses_at(circuit: &Circuit) -> BTreeMap<&str, Vec<&Hose>> {
    let mut at: BTreeMap<&str, Vec<&Hose>> = BTreeMap::new();
    for hose in &circuit.hoses {
        for port in [&hose.from, &hose.to].into_iter().flatten() {
            at.entry(port.as_str()).or_default().push(hose);
        }
    }
    at
}

fn quoted(hoses: &[&Hose]) -> String {
    hoses.iter().map(|hose| format!("\"{}\"", hose.mark.value)).collect::<Vec<_>>().join(", ")
}
