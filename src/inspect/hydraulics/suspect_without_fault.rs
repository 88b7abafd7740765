//! `suspect-without-fault`

use std::collections::{BTreeMap, BTreeSet};

use crate::inspect::{Rule, Subject};
use crate::model::{Circuit, Id, Kind, LinkSite, Part};
use crate::reason::hydraulics::stalls;
use crate::report::{Finding, Level, RuleInfo};
use crate::text::Span;

const NAME: &str = "suspect-without-fault";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "hydraulics",
        level: Level::Warning,
        matters: "When this part makes the circuit slow, uneven or unable to hold, no complaint of the guide would find it.",
        page: include_str!("suspect-without-fault.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for circuit in &subject.guide.circuits {
        let places = places_of(circuit);
        let machines = subject.facts.hydraulics.machines.iter();
        let all = machines.flat_map(|machine| stalls(subject.guide, circuit, machine));
        let suspects: BTreeSet<Id<Part>> = all.flat_map(|stall| stall.suspects).collect();
        if cannot_be_known(subject, &places) {
            continue;
        }
        let uncovered = suspects.iter().filter(|part| subject.facts.coverage.faults_of(part).next().is_none());
        found.extend(uncovered.filter_map(|part| Some(finding(part, *places.get(part)?))));
    }
}

/// True where something about this circuit may cover what seems uncovered: a repair that is not there, or a fault or
/// procedure that could not be read whole. A file that names no part at all may be about any circuit.
fn cannot_be_known(subject: &Subject<'_>, places: &BTreeMap<&Id<Part>, Span>) -> bool {
    let about_it = |record: &Span| {
        let in_file = |link: &&LinkSite| link.to.kind == Kind::Part && link.span.file == record.file;
        let mut named = subject.guide.index.links.iter().filter(in_file).peekable();
        named.peek().is_none() || named.any(|link| places.contains_key(&Id::new(link.to.id.as_str())))
    };
    subject.facts.coverage.may_cover(&places.keys().copied().collect()) || subject.half_read.iter().any(about_it)
}

/// The parts of a circuit, each with the place where it is named first.
fn places_of(circuit: &Circuit) -> BTreeMap<&Id<Part>, Span> {
    let rows = circuit.pumps.iter().map(|pump| &pump.part).chain(circuit.actuators.iter().map(|it| &it.part));
    let rows = rows.chain(circuit.passages.iter().map(|passage| &passage.part));
    let hoses = circuit.hoses.iter().filter_map(|hose| hose.part.as_ref());
    let mut places = BTreeMap::new();
    for link in circuit.reservoir.iter().chain(rows).chain(hoses) {
        places.entry(&link.value).or_insert(link.span);
    }
    places
}

fn finding(part: &Id<Part>, span: Span) -> Finding {
    let wrong = format!("The circuit can stop doing its work because of `{part}`, and no fault covers that part.");
    let remedy = format!("Add a cause or a check that opens, moves, disturbs or links to `{part}` to a fault.");
    Finding::new(NAME, span, wrong, remedy)
}
