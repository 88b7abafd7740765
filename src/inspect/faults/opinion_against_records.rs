//! `opinion-against-records`

use crate::inspect::{Rule, Subject};
use crate::model::{Cause, Entry, Fault, Likelihood};
use crate::reason::likelihood::Likelihoods;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "opinion-against-records";

/// Records that would be rarer than this under the opinion are reported; common practice, no source.
const RARE: f64 = 0.05;

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "faults",
        level: Level::Advice,
        matters: "The first check follows a likelihood that the bay does not meet.",
        page: include_str!("opinion-against-records.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let recorded = |fault: &&Fault| subject.facts.records.jobs_of(fault.id()) > 0;
    for fault in subject.guide.faults.iter().filter(recorded) {
        let known = subject.facts.records.of_fault(fault.id()).filter(|known| known.p_value < RARE);
        let told = known.and_then(|known| Some((known, known.furthest, fault.causes.get(known.furthest)?)));
        if let Some((known, place, cause)) = told {
            found.extend(finding(fault, known, place, cause));
        }
    }
}

fn finding(fault: &Fault, known: &Likelihoods, place: usize, cause: &Cause) -> Option<Finding> {
    let (now, opinion) = (known.causes.get(place)?, known.opinion.get(place)?);
    let span = match &cause.likelihood {
        Some(Likelihood::Share(share)) => share.span,
        Some(Likelihood::Word(word)) => word.span,
        None => return None,
    };
    let wrong = format!(
        "Of {} confirmed jobs of `{}`, {} were `{}`; the guide puts it at {:.0} %. If that were right, records this far \
         off would come up less than once in {} times (beta-binomial test, all causes of the fault considered).",
        known.jobs,
        fault.id(),
        now.count,
        cause.id.value,
        opinion * 100.0,
        (1.0 / known.p_value.max(1e-6)).floor(),
    );
    let remedy = format!(
        "Look at the records first: another machine, a bad batch, a check that misleads. If they are right, move the \
         likelihood towards {:.0} %, which is what opinion and records say together.",
        now.mean * 100.0
    );
    Some(Finding::new(NAME, span, wrong, remedy))
}
