//! `serials-overlap`

use super::serials::{Range, Serial, ranges};
use crate::inspect::{Rule, Subject};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "serials-overlap";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "references",
        level: Level::Error,
        matters: "The technician tells the variant by the serial number: one number in two variants means two answers.",
        page: include_str!("serials-overlap.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let ranges = ranges(subject.guide.variants.iter());
    for (at, range) in ranges.iter().enumerate() {
        if let (Some(last), Some(written)) = (range.last, &range.serials.last)
            && (last.0 != range.first.0 || last.1 < range.first.1)
        {
            let wrong = format!("No serial number runs from {} to {}.", range.serials.first.value, written.value);
            let remedy = "Write the lower number under `first` and the higher under `last`, both with the same letters; \
                          numbers with other letters are a range of their own.";
            found.push(Finding::new(NAME, written.span, wrong, remedy));
        }
        for earlier in ranges.iter().take(at).filter(|earlier| overlap(earlier, range)) {
            let wrong = format!(
                "The serial numbers from {} on are those of `{}` too.",
                higher(earlier, range),
                earlier.variant.head.id.value
            );
            let remedy = "Let one range end before the other begins: add or correct `last`.";
            let place = earlier.serials.last.as_ref().unwrap_or(&earlier.serials.first).span;
            found.push(Finding::new(NAME, range.serials.first.span, wrong, remedy).with(place, "the other range"));
        }
    }
}

fn overlap(one: &Range<'_>, other: &Range<'_>) -> bool {
    let begins_before_end = |first: Serial<'_>, last: Option<Serial<'_>>| last.is_none_or(|last| first.1 <= last.1);
    one.first.0 == other.first.0 && begins_before_end(one.first, other.last) && begins_before_end(other.first, one.last)
}

/// The first number that both ranges hold, as written.
fn higher<'g>(one: &Range<'g>, other: &Range<'g>) -> &'g str {
    if one.first.1 > other.first.1 { &one.serials.first.value } else { &other.serials.first.value }
}
