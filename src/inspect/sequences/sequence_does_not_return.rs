//! `sequence-does-not-return`

use crate::inspect::{Rule, Subject};
use crate::model::{Condition, Link, Sequence};
use crate::reason::Standing;
use crate::reason::sequences::{simulate, start};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "sequence-does-not-return";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "sequences",
        level: Level::Error,
        matters: "After there and back the machine would not stand where it stood, and the next operation could not start.",
        page: include_str!("sequence-does-not-return.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    for sequence in &subject.guide.sequences {
        let Some(link) = &sequence.undone_by else { continue };
        let Some(back) = subject.guide.sequences.get(&link.value).filter(|_| !is_stuck(subject, sequence)) else {
            continue;
        };
        let Some(there) = subject.facts.sequences.simulations.get(sequence.head.id.value.as_str()) else { continue };
        let cannot_start = apart(&there.end, &back.start);
        if !cannot_start.is_empty() {
            found.push(finding(link, &format!("`{}` cannot start where this ends", link.value), &cannot_start));
            continue;
        }
        if !is_stuck(subject, back) {
            let end = simulate(subject.guide, back, &there.end).end;
            // What the way back knows of is judged there, when it names this one as undoing it.
            let mutual = back.undone_by.as_ref().is_some_and(|it| it.as_str() == sequence.head.id.value);
            let known = simulate(subject.guide, back, &start(subject.guide, back)).end;
            let mut not_back = apart(&end, &sequence.start);
            not_back.retain(|(condition, _)| !mutual || !known.contains_key(&condition.signal.value));
            if !not_back.is_empty() {
                found.push(finding(
                    link,
                    &format!("`{}` does not bring back where this starts", link.value),
                    &not_back,
                ));
            }
        }
    }
}

/// A sequence that cannot be walked ends nowhere; its own finding is enough.
fn is_stuck(subject: &Subject<'_>, sequence: &Sequence) -> bool {
    let simulation = subject.facts.sequences.simulations.get(sequence.head.id.value.as_str());
    simulation.is_some_and(|simulation| simulation.steps.iter().any(|step| !step.unmet.is_empty()))
}

/// The conditions that do not stand, each with the value that stands instead.
fn apart<'c>(standing: &Standing, wanted: &'c [Condition]) -> Vec<(&'c Condition, String)> {
    let stands = |condition: &Condition| standing.get(&condition.signal.value).and_then(|stand| stand.value.clone());
    let pairs = wanted.iter().filter_map(|condition| stands(condition).map(|value| (condition, value)));
    pairs.filter(|(condition, value)| condition.value.value != *value).collect()
}

fn finding(link: &Link<Sequence>, says: &str, apart: &[(&Condition, String)]) -> Finding {
    let each = apart.iter().map(|(condition, stands)| {
        format!("`{}` is \"{stands}\" instead of \"{}\"", condition.signal.value, condition.value.value)
    });
    let wrong = format!("{says}: {}.", each.collect::<Vec<_>>().join(", "));
    let remedy = "Correct `start` of one of the two, or add the step that changes the signal.";
    let finding = Finding::new(NAME, link.span, wrong, remedy);
    apart.iter().fold(finding, |finding, (condition, _)| finding.with(condition.value.span, "the value wanted"))
}
