//! `recalibration-at-wrong-depot`

use crate::inspect::wording::listed;
use crate::inspect::{Rule, Subject};
use crate::model::{Depot, Entry, Guide, Link, Need, Procedure};
use crate::reason::Machine;
use crate::reason::calls::calls;
use crate::reason::recalibration::{disturbing, part_need, tags};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "recalibration-at-wrong-depot";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "procedures",
        level: Level::Error,
        matters: "The depot has not the means for this part and sends it back as it came.",
        page: include_str!("recalibration-at-wrong-depot.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for procedure in &subject.guide.procedures {
        for stands in tags(subject.guide, procedure).into_iter().filter(|stands| stands.tag.need.value != Need::None) {
            let allowing = allowing(subject.guide, procedure, &stands.machines);
            for depot in &stands.tag.by {
                let barred = allowing.iter().find(|(_, by)| !by.iter().any(|allowed| allowed.value == depot.value));
                let Some((what, by)) = barred else { continue };
                let wrong = format!(
                    "`{}` is named for `{}`, but {what} may only be recalibrated by {}.",
                    depot.value,
                    procedure.id(),
                    listed(by.iter().map(|depot| depot.as_str()))
                );
                let remedy = "Name only depots that every part disturbed allows, or correct `by` of the part.";
                found.push(Finding::new(NAME, depot.span, wrong, remedy));
            }
        }
    }
}

/// What a procedure disturbs or sends to that says who may recalibrate, with the depots.
fn allowing<'g>(guide: &'g Guide, procedure: &'g Procedure, machines: &[Machine]) -> Vec<(String, &'g [Link<Depot>])> {
    let mut allowing: Vec<(String, &[Link<Depot>])> = Vec::new();
    for machine in machines {
        for because in disturbing(procedure) {
            let part = because.part().and_then(|part| guide.parts.get(part));
            let need = part.and_then(|part| Some((part, part_need(part, machine)?)));
            if let Some((part, need)) = need.filter(|(_, need)| need.need.value != Need::None) {
                allowing.push((format!("`{}`", part.id()), &need.by));
            }
        }
        for (_, link) in calls(procedure) {
            let Some(called) = guide.procedures.get(link) else { continue };
            let tags = tags(guide, called).into_iter().filter(|stands| stands.machines.contains(machine));
            let tags = tags.filter(|stands| stands.tag.need.value != Need::None);
            allowing.extend(tags.map(|stands| (format!("what `{}` disturbs", called.id()), stands.tag.by.as_slice())));
        }
    }
    allowing.retain(|(_, by)| !by.is_empty());
    allowing
}
