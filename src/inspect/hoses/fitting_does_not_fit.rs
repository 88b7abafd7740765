//! `fitting-does-not-fit`

use crate::inspect::book::{Book, alike};
use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "fitting-does-not-fit";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hoses",
        level: Level::Error,
        matters: "The hose cannot be screwed to the port that the table names, so one of the two is another.",
        page: include_str!("fitting-does-not-fit.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let book = Book::of(subject.guide);
    for hose in subject.guide.circuits.iter().flat_map(|circuit| &circuit.hoses) {
        let ends: Vec<_> = [&hose.from, &hose.to]
            .into_iter()
            .flatten()
            .filter_map(|end| book.port(&end.value).map(|port| (end, port)))
            .collect();
        let misfits: Vec<_> = ends.iter().filter(|(_, port)| !alike(&hose.fitting, &port.fitting)).collect();
        let remedy = "Correct the fitting of the hose or of the port, or name the port that the end is really screwed to. An \
                      adapter is a part with two ports.";
        // Where no end fits, the hose's own fitting is the likely slip.
        let place = (misfits.len() > 1).then_some(hose.fitting.span);
        for (end, port) in misfits.iter().take(if place.is_some() { 1 } else { 2 }) {
            let wrong = format!(
                "The hose `{}` has {}, but the port `{}` takes {}.",
                hose.id.value, hose.fitting.value, port.id.value, port.fitting.value
            );
            let finding = Finding::new(NAME, place.unwrap_or(end.span), wrong, remedy);
            found.push(finding.with(port.fitting.span, "the fitting of the port"));
        }
    }
}
