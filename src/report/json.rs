//! Findings as JSON, in a schema of our own with a version.

use std::collections::BTreeMap;

use serde::Serialize;

use super::tally::{Counts, Tally};
use super::{Judged, Report};
use crate::text::{Sources, Span};

/// Version of the format: it rises when a key changes its meaning or goes; new keys do not raise it.
pub const VERSION: u32 = 1;

/// The JSON Schema (2020-12) of the format.
pub const SCHEMA: &str = include_str!("findings.schema.json");

#[derive(Serialize)]
struct Document<'r> {
    format: &'static str,
    version: u32,
    counts: Counts,
    by_rule: BTreeMap<String, Counts>,
    by_file: BTreeMap<String, Counts>,
    findings: Vec<Item<'r>>,
}

#[derive(Serialize)]
struct Item<'r> {
    level: &'static str,
    rule: &'static str,
    family: &'static str,
    place: Region<'r>,
    wrong: &'r str,
    matters: &'static str,
    remedy: &'r str,
    related: Vec<Other<'r>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    softened_because: Option<&'r str>,
}

#[derive(Serialize)]
struct Other<'r> {
    place: Region<'r>,
    says: &'r str,
}

/// Lines and columns from 1, columns in characters; offsets in bytes from 0; the end is one past the last.
#[derive(Serialize)]
struct Region<'r> {
    file: &'r str,
    from: Point,
    to: Point,
}

#[derive(Serialize)]
struct Point {
    line: usize,
    column: usize,
    offset: u32,
}

/// The report as one JSON document.
///
/// # Errors
/// Where serialising fails, which no report is known to cause.
pub fn json(report: &Report, sources: &Sources) -> serde_json::Result<String> {
    let Tally { all, by_rule, by_file } = Tally::of(report, sources);
    let findings = report.findings.iter().map(|judged| item(judged, sources)).collect();
    let document = Document { format: "bayleaf-findings", version: VERSION, counts: all, by_rule, by_file, findings };
    serde_json::to_string_pretty(&document).map(|text| text + "\n")
}

fn item<'r>(judged: &'r Judged, sources: &'r Sources) -> Item<'r> {
    let finding = &judged.finding;
    let related = finding.related.iter().map(|it| Other { place: place(sources, it.span), says: &it.says });
    Item {
        level: judged.level.word(),
        rule: judged.rule.name,
        family: judged.rule.family,
        place: place(sources, finding.span),
        wrong: &finding.wrong,
        matters: judged.rule.matters,
        remedy: &finding.remedy,
        related: related.collect(),
        softened_because: judged.softened.as_deref(),
    }
}

fn place(sources: &Sources, span: Span) -> Region<'_> {
    let point = |offset| {
        let position = sources.position(Span { start: offset, ..span });
        Point { line: position.line, column: position.column, offset }
    };
    Region { file: sources.path(span.file), from: point(span.start), to: point(span.end.max(span.start)) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::{Level, samples};

    #[test]
    fn the_document_holds_what_the_report_holds_and_names_its_version() {
        let (sources, report) = samples::report("Wrong \"there\".", Level::Error);
        let value: serde_json::Value = serde_json::from_str(&json(&report, &sources).unwrap()).unwrap();
        assert_eq!(value["version"], VERSION);
        assert_eq!(value["counts"], serde_json::json!({ "errors": 1, "warnings": 0, "advice": 1 }));
        let first = &value["findings"][0];
        assert_eq!(first["place"]["from"], serde_json::json!({ "line": 2, "column": 5, "offset": 15 }));
        assert_eq!(first["wrong"], "Wrong \"there\".");
        assert_eq!(first["related"][0]["says"], "the other place");
        assert_eq!(value["findings"][1]["softened_because"], "A reason.");
    }
}
