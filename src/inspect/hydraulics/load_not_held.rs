//! `load-not-held`

use std::collections::BTreeSet;

use super::rows::Rows;
use crate::inspect::{Rule, Subject};
use crate::reason::hydraulics::{MachineHydraulics, Operation, slips};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "load-not-held";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hydraulics",
        level: Level::Error,
        matters: "A load that fluid does not hold comes down on whoever trusts it.",
        page: include_str!("load-not-held.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let rows = Rows::of(subject);
    let mut said = BTreeSet::new();
    for machine in rows.solved() {
        // Where a direction goes wrong too, its finding names what to correct.
        if machine.otherwise.iter().any(|one| one.operation != Operation::Standing) {
            continue;
        }
        let loose = machine.otherwise.iter().map(|one| one.actuator.clone());
        let loose: Vec<_> = loose.filter(|actuator| said.insert(actuator.clone())).collect();
        if loose.is_empty() {
            continue;
        }
        let explained = slips(subject.guide, &machine.machine);
        let slip = if let [slip] = explained.as_slice() { rows.slip(slip) } else { None };
        for actuator in loose {
            let Some(row) = rows.book.actuator(&actuator) else { continue };
            let own = row.load.as_ref().map_or(row.id.span, |load| load.span);
            let remedy = "Add the check valve that holds it, or correct the passage that goes round it. Where steel holds \
                          it, write `load = \"none\"`.";
            let (place, remedy) = slip.clone().unwrap_or_else(|| (own, remedy.to_owned()));
            let finding = Finding::new(NAME, place, wrong(machine, &actuator), &remedy);
            found.push(if place == own { finding } else { finding.with(own, "its load") });
        }
    }
}

fn wrong(machine: &MachineHydraulics, actuator: &crate::model::Id<crate::model::Actuator>) -> String {
    let standing = machine.operation(&Operation::Standing).and_then(|facts| facts.actuators.get(actuator));
    let creeps = standing.is_some_and(|one| one.creeps);
    if creeps {
        return format!("The load of `{actuator}` is held by a standing pump alone, and a pump leaks.");
    }
    format!("Nothing holds the load of `{actuator}` while all pumps stand.")
}
