//! How many findings there are, by rule and by file.

use std::collections::BTreeMap;

use serde::Serialize;

use super::{HeldBack, Level, Report};
use crate::text::Sources;

/// How many findings of each level.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize)]
pub struct Counts {
    pub errors: usize,
    pub warnings: usize,
    pub advice: usize,
}

/// The findings of a run, counted.
#[derive(Debug, Default)]
pub struct Tally {
    pub all: Counts,
    /// By the name of the rule.
    pub by_rule: BTreeMap<String, Counts>,
    /// By the path of the file; what was held back is in the other counts alone.
    pub by_file: BTreeMap<String, Counts>,
}

impl Counts {
    fn add(&mut self, level: Level) {
        match level {
            Level::Error => self.errors += 1,
            Level::Warning => self.warnings += 1,
            Level::Advice => self.advice += 1,
        }
    }

    fn add_held_back(&mut self, held: HeldBack) {
        self.errors += held.errors;
        self.warnings += held.warnings;
        self.advice += held.advice;
    }

    /// All levels together.
    pub fn total(self) -> usize {
        self.errors + self.warnings + self.advice
    }
}

impl Tally {
    /// Counts a report.
    pub fn of(report: &Report, sources: &Sources) -> Self {
        let mut tally = Self::default();
        for judged in &report.findings {
            tally.all.add(judged.level);
            tally.by_rule.entry(judged.rule.name.to_owned()).or_default().add(judged.level);
            tally.by_file.entry(sources.path(judged.finding.span.file).to_owned()).or_default().add(judged.level);
        }
        for (rule, held) in &report.held_back {
            tally.all.add_held_back(*held);
            tally.by_rule.entry((*rule).to_owned()).or_default().add_held_back(*held);
        }
        tally
    }

    /// Two tables for a person: rules and files, those with most findings first. Empty where nothing was found.
    pub fn text(&self) -> String {
        if self.all.total() == 0 {
            return String::new();
        }
        format!("{}\n{}", table("By rule", &self.by_rule), table("By file", &self.by_file))
    }
}

fn table(title: &str, rows: &BTreeMap<String, Counts>) -> String {
    let mut rows: Vec<(&String, &Counts)> = rows.iter().collect();
    rows.sort_by_key(|(name, counts)| (std::cmp::Reverse(counts.total()), name.as_str()));
    let lines = rows.iter().map(|(name, counts)| format!("{:>7}  {name}\n", counts.total()));
    format!("{title}\n{}", lines.collect::<String>())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::samples;

    #[test]
    fn everything_is_counted_once_by_rule_and_by_file() {
        let (sources, report) = samples::report("Wrong.", Level::Error);
        let tally = Tally::of(&report, &sources);
        assert_eq!(tally.all, Counts { errors: 1, warnings: 0, advice: 1 });
        assert_eq!(tally.by_rule["sample-rule"], tally.all);
        assert_eq!(tally.by_file["faults/a b.toml"], tally.all);
        assert_eq!(tally.text(), "By rule\n      2  sample-rule\n\nBy file\n      2  faults/a b.toml\n");
    }
}
