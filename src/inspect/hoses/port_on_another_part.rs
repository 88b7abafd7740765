//! `port-on-another-part`

use crate::inspect::book::Book;
use crate::inspect::{Rule, Subject};
use crate::model::{Link, Part, Port};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "port-on-another-part";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Error,
        matters: "The page would point at a port that is not on the cylinder or pump it speaks of.",
        page: include_str!("port-on-another-part.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let book = Book::of(subject.guide);
    for circuit in &subject.guide.circuits {
        for pump in &circuit.pumps {
            for port in std::iter::once(&pump.forward).chain(&pump.reverse) {
                found.extend(elsewhere(&book, &pump.part, port, "pump"));
            }
        }
        for actuator in &circuit.actuators {
            for port in std::iter::once(&actuator.cap).chain(&actuator.rod) {
                found.extend(elsewhere(&book, &actuator.part, port, "actuator"));
            }
        }
    }
}

fn elsewhere(book: &Book<'_>, part: &Link<Part>, port: &Link<Port>, whose: &str) -> Option<Finding> {
    let declared = book.port(&port.value).filter(|declared| declared.part != *part)?;
    let wrong =
        format!("This {whose} is `{}`, but the port `{}` is on `{}`.", part.value, port.value, declared.part.value);
    let remedy = "Name a port of the part itself, or correct `part` in one of the two records.";
    Some(Finding::new(NAME, port.span, wrong, remedy).with(declared.part.span, "the part of the port"))
}
