//! What counts as caught: a finding that the demo does not give, of a rule that fits the change, at a place that fits.
//!
//! The place fits where the finding, or a place that belongs to it, stands in the changed table, or where its words
//! name one of the ids the change is about.

use std::collections::{BTreeMap, BTreeSet};

use bayleaf::pipeline::Inspected;
use bayleaf::report::{Judged, Level};
use bayleaf::text::Span;
use regex::Regex;
use serde::Deserialize;

use super::make::Mutant;

/// What became of a mutant.
#[derive(Debug)]
pub(super) enum Verdict {
    /// By these rules.
    Caught(#[allow(dead_code, reason = "shown when a test fails")] BTreeSet<&'static str>),
    /// Nothing was found.
    Silent,
    /// Something was found, of another rule or at another place.
    Elsewhere(Vec<String>),
}

/// What a run says, without its places.
pub(super) fn told(inspected: &Inspected) -> BTreeSet<String> {
    inspected.report.findings.iter().map(words).collect()
}

fn words(judged: &Judged) -> String {
    format!("{} {} {}", judged.rule.name, judged.finding.wrong, judged.finding.remedy)
}

/// `quiet` are the findings of the demo as it is.
pub(super) fn judge(mutant: &Mutant, inspected: &Inspected, quiet: &BTreeSet<String>) -> Verdict {
    let found = inspected.report.findings.iter();
    let new: Vec<&Judged> = found.filter(|it| it.level != Level::Advice && !quiet.contains(&words(it))).collect();
    if new.is_empty() {
        return Verdict::Silent;
    }
    let fits = |it: &&&Judged| fits_rule(mutant.sort, it) && fits_place(mutant, inspected, it);
    let caught: BTreeSet<&'static str> = new.iter().filter(fits).map(|it| it.rule.name).collect();
    if !caught.is_empty() {
        return Verdict::Caught(caught);
    }
    Verdict::Elsewhere(new.iter().map(|it| format!("{}: {}", it.rule.name, it.finding.wrong)).collect())
}

fn fits_place(mutant: &Mutant, inspected: &Inspected, judged: &Judged) -> bool {
    let finding = &judged.finding;
    let related = finding.related.iter().map(|related| related.span);
    let mut spans = std::iter::once(finding.span).chain(related);
    spans.any(|span| in_block(mutant, inspected, span))
        || mutant.near.iter().any(|id| names(&finding.wrong, id) || names(&finding.remedy, id))
}

fn in_block(mutant: &Mutant, inspected: &Inspected, span: Span) -> bool {
    let edit = &mutant.edits[0];
    let end = mutant.block.end + edit.put.len() - edit.at.len().min(mutant.block.end - mutant.block.start);
    inspected.draft.sources.path(span.file) == edit.file && (mutant.block.start..end).contains(&(span.start as usize))
}

/// True where the words hold the id as a word of its own.
fn names(words: &str, id: &str) -> bool {
    words.match_indices(id).any(|(at, _)| {
        let part = |byte: Option<char>| byte.is_some_and(|it| it.is_alphanumeric() || it == '-');
        !part(words[..at].chars().next_back()) && !part(words[at + id.len()..].chars().next())
    })
}

/// The families and rules that may catch a sort of mutant.
fn fits_rule(sort: &str, judged: &Judged) -> bool {
    let (family, rule) = (judged.rule.family, judged.rule.name);
    match sort {
        "drop-source" => rule == "value-without-source" || rule == "missing-field",
        "drop-check" | "drop-answer" => {
            family == "faults" || matches!(rule, "reading-never-used" | "band-without-answer" | "unknown-id")
        }
        "drop-leaves" => family == "faults",
        "drop-caution" => family == "safety",
        "drop-make-safe" => family == "safety" || rule == "procedure-never-used",
        "drop-disturbs" => matches!(family, "procedures" | "safety") || rule == "part-not-covered-by-any-fault",
        "drop-tag" | "change-tag" => {
            family == "procedures"
                || matches!(rule, "missing-field" | "check-that-needs-recalibration")
                || matches!(rule, "costly-repair-by-elimination" | "costly-repair-on-trial")
                || matches!(rule, "variant-not-covered" | "variant-covered-twice")
        }
        "drop-hose-field" | "change-hose-field" | "swap-ends" | "turn-hose" => {
            matches!(family, "hoses" | "references" | "hydraulics")
                || matches!(rule, "missing-field" | "bad-quantity" | "wrong-type")
                || rule == "bad-id"
        }
        _ => {
            matches!(family, "references" | "sequences")
                || rule == "brought-cause-unknown-to-any-fault"
                || rule == "bad-table-row"
                || rule == "unknown-word"
        }
    }
}

/// Mutants that rightly give no finding.
#[derive(Debug, Deserialize)]
pub(super) struct Harmless {
    harmless: Vec<Pattern>,
    /// Sort and name of each, so that a run over some of them lets no new one through either.
    #[serde(skip)]
    named: BTreeSet<&'static str>,
}

#[derive(Debug, Deserialize)]
struct Pattern {
    sort: String,
    /// A regular expression over the name of the mutant.
    #[serde(deserialize_with = "expression")]
    name: Regex,
    /// How many there are, so that no new one hides behind the line.
    times: usize,
    because: String,
}

impl Harmless {
    pub(super) fn read() -> Self {
        let text =
            std::fs::read_to_string(concat!(env!("CARGO_MANIFEST_DIR"), "/tests/mutants/harmless.toml")).unwrap();
        let mut read: Self = toml::from_str(&text).unwrap();
        read.named = include_str!("silent.tsv").lines().collect();
        assert!(read.harmless.iter().all(|pattern| pattern.because.len() > 20), "a reason is missing");
        read
    }

    /// The number of the first pattern that matches; none for a mutant that is not in the list.
    pub(super) fn matching(&self, mutant: &Mutant) -> Option<usize> {
        if !self.named.contains(format!("{}\t{}", mutant.sort, mutant.name).as_str()) {
            return None;
        }
        let fits = |pattern: &Pattern| pattern.sort == mutant.sort && pattern.name.is_match(&mutant.name);
        self.harmless.iter().position(fits)
    }

    /// The patterns that match another number of silent mutants than they say.
    pub(super) fn miscounted(&self, used: &BTreeMap<usize, usize>) -> Vec<String> {
        let counted = self.harmless.iter().enumerate().map(|(place, it)| (it, used.get(&place).copied().unwrap_or(0)));
        let wrong = counted.filter(|(pattern, count)| pattern.times != *count);
        wrong.map(|(it, count)| format!("{} {}: {} said, {count} there", it.sort, it.name, it.times)).collect()
    }
}

fn expression<'de, D: serde::Deserializer<'de>>(from: D) -> Result<Regex, D::Error> {
    Regex::new(&String::deserialize(from)?).map_err(serde::de::Error::custom)
}
