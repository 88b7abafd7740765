//! `bands-overlap`

use super::bands::{on_machines, sorted};
use crate::inspect::{Rule, Subject};
use crate::model::Band;
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "bands-overlap";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "readings",
        level: Level::Error,
        matters: "One value, two verdicts: the technician picks the nicer one.",
        page: include_str!("bands-overlap.md"),
        softenable: false,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    on_machines(
        subject,
        |bands, found| {
            for two in sorted(bands).windows(2) {
                if let [below, above] = two {
                    found.extend(overlap(below, above));
                }
            }
        },
        found,
    );
}

fn overlap(below: &Band, above: &Band) -> Option<Finding> {
    let starts = above.from.as_ref();
    let reaches = match (&below.to, starts) {
        (Some(to), Some(from)) => from.value < to.value,
        // Two bands without lower end, or one without upper end below another.
        (None, _) | (_, None) => true,
    };
    if !reaches {
        return None;
    }
    let place = starts.map_or(above.id.span, |from| from.span);
    let upper = below.to.as_ref().map_or("has no upper end".to_owned(), |to| format!("goes up to {}", to.value));
    let begins = starts.map_or("has no lower end".to_owned(), |from| format!("begins at {}", from.value));
    let wrong = format!("The band `{}` {begins}, but the band `{}` {upper}.", above.id.value, below.id.value);
    let remedy =
        "Let each band begin at the value where the one below ends: `from` belongs to the band, `to` does not.";
    let other = below.to.as_ref().map_or(below.id.span, |to| to.span);
    Some(Finding::new(NAME, place, wrong, remedy).with(other, "the band below"))
}
