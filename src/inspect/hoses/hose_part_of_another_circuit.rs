//! `hose-part-of-another-circuit`

use std::collections::BTreeMap;

use crate::inspect::{Rule, Subject};
use crate::model::{Circuit, Hose, Id, Part};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "hose-part-of-another-circuit";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Warning,
        matters: "The hose would be ordered from the wrong line of the parts list, and its page would warn of the wrong hazard.",
        page: include_str!("hose-part-of-another-circuit.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let tables: Vec<(&Circuit, ByPart<'_>)> =
        subject.guide.circuits.iter().map(|circuit| (circuit, by_part(circuit))).collect();
    for (circuit, parts) in &tables {
        let Some((usual, _)) = parts.iter().find(|(_, rows)| rows.len() * 2 > circuit.hoses.len()) else { continue };
        for (part, rows) in parts.iter().filter(|(_, rows)| rows.len() == 1) {
            let [hose] = rows.as_slice() else { continue };
            let elsewhere = tables.iter().filter(|(other, _)| other.head.id != circuit.head.id);
            let owner =
                elsewhere.filter_map(|(other, parts)| Some((other, parts.get(part)?))).find(|(_, it)| it.len() > 1);
            let (Some((owner, _)), Some(link)) = (owner, &hose.part) else { continue };
            let wrong = format!(
                "The hose `{}` is ordered as `{part}`, like the hoses of the circuit `{}`; the others here are `{usual}`.",
                hose.id.value, owner.head.id.value
            );
            let remedy =
                format!("Write `part = \"{usual}\"`. If both circuits take this hose, soften this rule and say so.");
            found.push(Finding::new(NAME, link.span, wrong, remedy));
        }
    }
}

/// The rows of a table by the part they name.
type ByPart<'g> = BTreeMap<&'g Id<Part>, Vec<&'g Hose>>;

fn by_part(circuit: &Circuit) -> ByPart<'_> {
    let mut parts = ByPart::new();
    for hose in &circuit.hoses {
        if let Some(part) = &hose.part {
            parts.entry(&part.value).or_default().push(hose);
        }
    }
    parts
}
