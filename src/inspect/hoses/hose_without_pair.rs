//! `hose-without-pair`

use crate::inspect::book::{Book, Found};
use crate::inspect::{Rule, Subject};
use crate::model::{Hose, Id, Side};
use crate::reason::MachineHoses;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "hose-without-pair";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Warning,
        matters: "Without its pair the page cannot say what happens when this hose is crossed with the other line of its cylinder.",
        page: include_str!("hose-without-pair.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let book = Book::of(subject.guide);
    let mut single = Found::new();
    for machine in &subject.facts.hoses.machines {
        for hose in machine.serves.keys().filter_map(|id| book.hose(id)) {
            if let Some(other) = other_line(&book, machine, hose) {
                single.add((hose.id.value.as_str(), other.id.value.as_str()), &machine.machine);
            }
        }
    }
    for ((hose, other), on) in single.worded(subject) {
        let (Some(hose), Some(other)) = (book.hose(&Id::new(hose)), book.hose(&Id::new(other))) else { continue };
        let wrong = format!(
            "The hose `{}` names no pair, although `{}` is the other line of its actuator{on}.",
            hose.id.value, other.id.value
        );
        let remedy = format!("Add `pair = \"{}\"`, and name this hose in the other row.", other.id.value);
        found.push(Finding::new(NAME, hose.id.span, wrong, remedy).with(other.id.span, "the other line"));
    }
}

/// The one hose on the other side of the actuator that a hose without pair is screwed to.
fn other_line<'g>(book: &Book<'g>, machine: &MachineHoses, hose: &Hose) -> Option<&'g Hose> {
    if hose.pair.is_some() {
        return None;
    }
    let served = machine.serves.get(hose.id.value.as_str())?;
    let chamber = served.direct.first().filter(|_| served.direct.len() == 1)?;
    let actuator = book.actuator(&chamber.actuator)?;
    let port = if chamber.side == Side::Cap { actuator.rod.as_ref()? } else { &actuator.cap };
    let [end] = machine.ends.get(&port.value)?.as_slice() else { return None };
    let other = book.hose(&end.hose)?;
    // Where the other row names a pair, `pair-not-mutual` has the word.
    (other.pair.is_none() && other.id != hose.id).then_some(other)
}
