//! What the catalogue says of a rule.

use std::fmt;

/// How much a finding weighs.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    /// Never changes the result.
    Advice,
    /// Published all the same, unless the run is strict.
    Warning,
    /// Nothing is published.
    Error,
}

/// A rule as the catalogue lists it.
#[derive(Debug)]
pub struct RuleInfo {
    /// Kebab-case, naming the bad thing.
    pub name: &'static str,
    /// The family it belongs to, which is also the folder of its page.
    pub family: &'static str,
    pub level: Level,
    /// Why a finding matters in the bay; the third part of every message.
    pub matters: &'static str,
    /// Its page: Markdown with a bad and a good example.
    pub page: &'static str,
    /// False for rules without which there would be no guide to publish, and for those about safety.
    pub softenable: bool,
}

impl Level {
    /// The word printed for it.
    pub fn word(self) -> &'static str {
        match self {
            Self::Advice => "advice",
            Self::Warning => "warning",
            Self::Error => "error",
        }
    }
}

impl fmt::Display for Level {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(self.word())
    }
}
