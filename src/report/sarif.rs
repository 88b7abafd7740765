//! Findings as a SARIF 2.1.0 log (OASIS; written from memory, checked by a library that knows the format).

use std::collections::BTreeMap;

use serde::Serialize;

use super::{Judged, Level, Report, RuleInfo};
use crate::text::{Sources, Span};

/// The base that every address of the log is relative to.
const BASE: &str = "GUIDE";

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Log<'r> {
    version: &'static str,
    runs: [Run<'r>; 1],
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Run<'r> {
    tool: Tool,
    column_kind: &'static str,
    original_uri_base_ids: BTreeMap<&'static str, Base>,
    results: Vec<RuleResult<'r>>,
}

#[derive(Serialize)]
struct Base {
    description: Message<'static>,
}

#[derive(Serialize)]
struct Tool {
    driver: Driver,
}

#[derive(Serialize)]
struct Driver {
    name: &'static str,
    version: &'static str,
    rules: Vec<Descriptor>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Descriptor {
    id: &'static str,
    short_description: Message<'static>,
    help: Help,
    default_configuration: Configuration,
    properties: Tags,
}

#[derive(Serialize)]
struct Help {
    text: &'static str,
    markdown: &'static str,
}

#[derive(Serialize)]
struct Configuration {
    level: &'static str,
}

#[derive(Serialize)]
struct Tags {
    tags: [&'static str; 1],
}

#[derive(Serialize)]
struct Message<'r> {
    text: &'r str,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct RuleResult<'r> {
    rule_id: &'static str,
    rule_index: usize,
    level: &'static str,
    message: OwnMessage,
    locations: [Location<'r>; 1],
    #[serde(skip_serializing_if = "Vec::is_empty")]
    related_locations: Vec<Location<'r>>,
    #[serde(skip_serializing_if = "Vec::is_empty")]
    suppressions: Vec<Suppression<'r>>,
}

#[derive(Serialize)]
struct OwnMessage {
    text: String,
}

#[derive(Serialize)]
struct Suppression<'r> {
    kind: &'static str,
    justification: &'r str,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Location<'r> {
    #[serde(skip_serializing_if = "Option::is_none")]
    id: Option<usize>,
    physical_location: Physical,
    #[serde(skip_serializing_if = "Option::is_none")]
    message: Option<Message<'r>>,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Physical {
    artifact_location: Artifact,
    region: Region,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Artifact {
    uri: String,
    uri_base_id: &'static str,
}

#[derive(Serialize)]
#[serde(rename_all = "camelCase")]
struct Region {
    start_line: usize,
    start_column: usize,
    end_line: usize,
    end_column: usize,
}

/// The report as a SARIF log that describes `rules`, the whole catalogue. A softened finding is a suppressed result with
/// the writer's reason.
///
/// # Errors
/// Where serialising fails, which no report is known to cause.
pub fn sarif<'i>(
    report: &Report,
    rules: impl IntoIterator<Item = &'i RuleInfo>,
    sources: &Sources,
) -> serde_json::Result<String> {
    let rules: Vec<Descriptor> = rules.into_iter().map(descriptor).collect();
    let places: BTreeMap<&str, usize> = rules.iter().enumerate().map(|(index, rule)| (rule.id, index)).collect();
    let results = report.findings.iter().filter_map(|judged| {
        let index = *places.get(judged.rule.name)?;
        Some(result(judged, index, sources))
    });
    let driver = Driver { name: "Bayleaf", version: env!("CARGO_PKG_VERSION"), rules: Vec::new() };
    let base = Base { description: Message { text: "The folder of the guide." } };
    let run = Run {
        results: results.collect(),
        tool: Tool { driver: Driver { rules, ..driver } },
        column_kind: "unicodeCodePoints",
        original_uri_base_ids: BTreeMap::from([(BASE, base)]),
    };
    serde_json::to_string_pretty(&Log { version: "2.1.0", runs: [run] }).map(|text| text + "\n")
}

fn descriptor(rule: &RuleInfo) -> Descriptor {
    Descriptor {
        id: rule.name,
        short_description: Message { text: rule.matters },
        help: Help { text: rule.page, markdown: rule.page },
        default_configuration: Configuration { level: level(rule.level) },
        properties: Tags { tags: [rule.family] },
    }
}

fn result<'r>(judged: &'r Judged, rule_index: usize, sources: &Sources) -> RuleResult<'r> {
    let finding = &judged.finding;
    let related = finding.related.iter().enumerate().map(|(index, it)| Location {
        id: Some(index + 1),
        physical_location: physical(sources, it.span),
        message: Some(Message { text: &it.says }),
    });
    let softened = judged.softened.iter().map(|because| Suppression { kind: "external", justification: because });
    RuleResult {
        rule_id: judged.rule.name,
        rule_index,
        level: level(judged.level),
        message: OwnMessage { text: format!("{} {}", finding.wrong, finding.remedy) },
        locations: [Location { id: None, physical_location: physical(sources, finding.span), message: None }],
        related_locations: related.collect(),
        suppressions: softened.collect(),
    }
}

fn level(level: Level) -> &'static str {
    match level {
        Level::Error => "error",
        Level::Warning => "warning",
        Level::Advice => "note",
    }
}

fn physical(sources: &Sources, span: Span) -> Physical {
    let start = sources.position(span);
    let end = sources.position(Span { start: span.end.max(span.start), ..span });
    let region =
        Region { start_line: start.line, start_column: start.column, end_line: end.line, end_column: end.column };
    let artifact_location = Artifact { uri: address(sources.path(span.file)), uri_base_id: BASE };
    Physical { artifact_location, region }
}

/// A path as a relative reference of RFC 3986 (from memory): all but unreserved characters and `/` are percent-encoded.
fn address(path: &str) -> String {
    path.bytes().fold(String::new(), |mut out, byte| {
        if byte.is_ascii_alphanumeric() || b"-._~/".contains(&byte) {
            out.push(char::from(byte));
        } else {
            out.push_str(&format!("%{byte:02X}"));
        }
        out
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::samples;

    #[test]
    fn a_library_that_knows_the_format_reads_the_log() {
        let (sources, report) = samples::report("Wrong.", Level::Warning);
        let text = sarif(&report, [&samples::RULE], &sources).unwrap();
        let log: serde_sarif::sarif::Sarif = serde_json::from_str(&text).unwrap();
        let results = log.runs[0].results.as_ref().unwrap();
        assert_eq!(results.len(), 2);
        let first = &results[0];
        assert_eq!(first.rule_index, Some(0));
        assert_eq!(first.related_locations.as_ref().map(Vec::len), Some(1));
        let place = first.locations.as_ref().unwrap()[0].physical_location.as_ref().unwrap();
        assert_eq!(place.artifact_location.as_ref().unwrap().uri.as_deref(), Some("faults/a%20b.toml"));
        let region = place.region.as_ref().unwrap();
        assert_eq!((region.start_line, region.start_column), (Some(2), Some(5)));
        let suppressed = results[1].suppressions.as_ref().unwrap();
        assert_eq!(suppressed[0].justification.as_deref(), Some("A reason."));
    }

    #[test]
    fn the_library_refuses_what_the_format_does_not_know() {
        let (sources, report) = samples::report("Wrong.", Level::Warning);
        let text = sarif(&report, [&samples::RULE], &sources).unwrap();
        for (good, bad) in [("\"ruleId\"", "\"rule\""), ("\"warning\"", "\"grave\""), ("\"driver\"", "\"driven\"")] {
            assert!(text.contains(good));
            let spoiled = text.replace(good, bad);
            assert!(serde_json::from_str::<serde_sarif::sarif::Sarif>(&spoiled).is_err(), "{bad} was accepted");
        }
    }
}
