//! `passage-cannot-work`

use super::rows::can_work;
use crate::inspect::{Rule, Subject};
use crate::model::{Passage, PassageKind};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "passage-cannot-work";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hydraulics",
        level: Level::Error,
        matters: "Directions, crossings and checks are worked out through the passages.",
        page: include_str!("passage-cannot-work.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for passage in subject.guide.circuits.iter().flat_map(|circuit| &circuit.passages) {
        if !can_work(passage) {
            found.push(finding(passage));
        } else if passage.kind.value == PassageKind::Relief && passage.opens_at.is_empty() {
            let wrong = format!("The relief valve `{}` does not say at which pressure it opens.", passage.id.value);
            found.push(Finding::new(NAME, passage.kind.span, wrong, "Write `opens_at` with its source."));
        }
    }
}

fn finding(passage: &Passage) -> Finding {
    let id = &passage.id.value;
    if passage.from.value == passage.to.value {
        let wrong = format!("The passage `{id}` starts and ends at the port `{}`.", passage.to.value);
        return Finding::new(NAME, passage.to.span, wrong, "Name the two ports it lies between.");
    }
    match &passage.pilot {
        None => {
            let wrong = format!("The pilot check `{id}` has no pilot.");
            let remedy = "Write the port whose pressure opens it as `pilot`, or make it `kind = \"check\"`.";
            Finding::new(NAME, passage.kind.span, wrong, remedy)
        }
        Some(pilot) if passage.kind.value != PassageKind::PilotCheck => {
            let wrong = format!("The passage `{id}` has a pilot and is no pilot check.");
            let remedy = "Make it `kind = \"pilot-check\"`, or take the pilot out.";
            Finding::new(NAME, passage.kind.span, wrong, remedy).with(pilot.span, "its pilot")
        }
        Some(pilot) => {
            let wrong = format!("The pilot of `{id}` is one of its own two ports, `{}`.", pilot.value);
            let remedy = "Name the port on the other side, whose pressure opens it.";
            Finding::new(NAME, pilot.span, wrong, remedy)
        }
    }
}
