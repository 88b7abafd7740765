//! `serial-of-another-variant`

use super::serials::{Range, ranges, serial};
use crate::inspect::wording::listed;
use crate::inspect::{Rule, Subject};
use crate::model::{Entry, JobRecord, Variant};
use crate::report::{Finding, Level, RuleInfo};
use crate::text::Located;

const NAME: &str = "serial-of-another-variant";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "references",
        level: Level::Warning,
        matters: "The job counts for a machine it was not done on, or was done by the values of another machine.",
        page: include_str!("serial-of-another-variant.md"),
        softenable: true,
    },
    check: Some(check),
};

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let variants: Vec<&Variant> = subject.guide.variants.iter().collect();
    let ranges = ranges(variants);
    found.extend(subject.guide.job_records.iter().filter_map(|record| of_record(&ranges, record)));
}

fn of_record(ranges: &[Range<'_>], record: &JobRecord) -> Option<Finding> {
    let (named, written) = (record.variant.as_ref()?, record.serial.as_ref()?);
    let holders: Vec<&str> = holders(ranges, written)?;
    if holders.contains(&named.as_str()) {
        return None;
    }
    let named_id = named.as_str();
    let own = ranges.iter().find(|range| range.variant.id() == named_id);
    let finding = if holders.is_empty() {
        // Where nothing is known of the numbers of the variant, this may be one of them.
        own?;
        let wrong =
            format!("No variant has the serial number {}; this job is said to be of `{named_id}`.", written.value);
        Finding::new(NAME, written.span, wrong, "Look at the plate, and correct the number or the range in guide.toml.")
    } else {
        let wrong = format!("{} is a serial number of {}, not of `{named_id}`.", written.value, listed(holders));
        Finding::new(NAME, named.span, wrong, "Look at the plate, and correct the variant or the serial number.")
    };
    Some(match own {
        Some(own) => finding.with(own.serials.first.span, format!("the numbers of `{named_id}`")),
        None => finding,
    })
}

/// The variants that have a number; nothing where it is not written as the guide writes them.
fn holders<'g>(ranges: &[Range<'g>], written: &Located<String>) -> Option<Vec<&'g str>> {
    let serial = serial(written)?;
    ranges.iter().find(|range| range.first.0 == serial.0)?;
    let holders = ranges.iter().filter(|range| range.holds(serial)).map(|range| range.variant.id());
    Some(holders.collect())
}
