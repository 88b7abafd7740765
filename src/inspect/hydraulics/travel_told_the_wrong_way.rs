//! `travel-told-the-wrong-way`

use std::collections::BTreeSet;

use crate::inspect::{Rule, Subject};
use crate::model::Actuator;
use crate::report::{Finding, Level, RuleInfo};
use crate::text::Located;

const NAME: &str = "travel-told-the-wrong-way";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hydraulics",
        level: Level::Warning,
        matters: "Checks and crossings tell the technician in these words which way a thing moves.",
        page: include_str!("travel-told-the-wrong-way.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for circuit in &subject.guide.circuits {
        let told: Vec<Told<'_>> = circuit.actuators.iter().filter_map(Told::of).collect();
        for (at, one) in told.iter().enumerate() {
            let peers: Vec<(usize, &Told<'_>)> =
                told.iter().enumerate().filter(|(other, it)| *other != at && it.load() == one.load()).collect();
            let against: Vec<&(usize, &Told<'_>)> = peers.iter().filter(|(_, it)| one.is_against(it)).collect();
            // Of two, the later one is told.
            let (most, later) = (against.len() * 2 > peers.len(), against.iter().any(|(other, _)| *other < at));
            let Some((_, other)) = against.first().filter(|_| most && (later || peers.len() > 1)) else { continue };
            let wrong = format!(
                "`{}` extends with \"{}\", but `{}` with \"{}\".",
                one.actuator.id.value, one.extends.value, other.actuator.id.value, other.extends.value
            );
            let remedy = "Look at the machine. If both go the same way, exchange `extends_says` and `retracts_says` of one; \
                          if not, say it in words that the two do not share.";
            let finding = Finding::new(NAME, one.extends.span, wrong, remedy);
            found.push(finding.with(other.extends.span, "the other"));
        }
    }
}

/// What an actuator looks like when it moves, both ways.
struct Told<'g> {
    actuator: &'g Actuator,
    extends: &'g Located<String>,
    retracts: &'g Located<String>,
}

impl<'g> Told<'g> {
    fn of(actuator: &'g Actuator) -> Option<Self> {
        let (extends, retracts) = (actuator.extends_says.as_ref()?, actuator.retracts_says.as_ref()?);
        Some(Self { actuator, extends, retracts })
    }

    fn load(&self) -> Option<&str> {
        self.actuator.load.as_ref().map(|load| load.value.as_str())
    }

    /// True where the words of this going out are rather those of the other coming in.
    fn is_against(&self, other: &Self) -> bool {
        let (out, back) = (own(self.extends, self.retracts), own(self.retracts, self.extends));
        let (their_out, their_back) = (own(other.extends, other.retracts), own(other.retracts, other.extends));
        let shared = |one: &BTreeSet<String>, other: &BTreeSet<String>| one.intersection(other).count();
        let along = shared(&out, &their_out) + shared(&back, &their_back);
        shared(&out, &their_back) + shared(&back, &their_out) > along
    }
}

/// The words of a text that the other has not.
fn own(text: &str, other: &str) -> BTreeSet<String> {
    let words = |text: &str| -> BTreeSet<String> { text.split_whitespace().map(str::to_lowercase).collect() };
    words(text).difference(&words(other)).cloned().collect()
}
