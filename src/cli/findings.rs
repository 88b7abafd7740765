//! Findings in the format that was asked for.

use clap::ValueEnum;

use crate::inspect::all;
use crate::report::{self, Report, Tally};
use crate::text::Sources;

/// With so few findings there is nothing to count.
const A_HANDFUL: usize = 5;

/// How findings are written.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(super) enum Format {
    /// Four parts a finding, then counts by rule and by file
    Text,
    /// One line a finding
    Lines,
    /// JSON in a schema of our own
    Json,
    /// SARIF 2.1.0
    Sarif,
}

pub(super) fn written(report: &Report, sources: &Sources, format: Format) -> Result<String, String> {
    let failed = |error: serde_json::Error| format!("the findings could not be written: {error}");
    match format {
        Format::Text => text(report, sources).map_err(|error| error.to_string()),
        Format::Lines => Ok(report.findings.iter().map(|judged| report::line(judged, sources) + "\n").collect()),
        Format::Json => report::json(report, sources).map_err(failed),
        Format::Sarif => report::sarif(report, all().iter().map(|rule| &rule.info), sources).map_err(failed),
    }
}

fn text(report: &Report, sources: &Sources) -> Result<String, std::fmt::Error> {
    let mut out = String::new();
    for judged in &report.findings {
        report::write_text(&mut out, judged, sources, super::style())?;
    }
    if report.findings.len() > A_HANDFUL {
        out.push_str(&Tally::of(report, sources).text());
        out.push('\n');
    }
    out.push_str(&report::summary(report));
    out.push('\n');
    Ok(out)
}
