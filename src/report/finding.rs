//! One place where content breaks a rule.

use crate::text::Span;

/// A finding before it is judged: the catalogue adds level and reason.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Finding {
    /// Where.
    pub span: Span,
    /// The rule's name.
    pub rule: &'static str,
    /// What is wrong: one or two sentences.
    pub wrong: String,
    /// What to write instead.
    pub remedy: String,
    /// Other places that belong to it.
    pub related: Vec<Related>,
}

/// Another place that belongs to a finding.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Related {
    pub span: Span,
    /// What stands there.
    pub says: String,
}

impl Finding {
    /// A finding at one place.
    pub fn new(rule: &'static str, span: Span, wrong: impl Into<String>, remedy: impl Into<String>) -> Self {
        Self { span, rule, wrong: wrong.into(), remedy: remedy.into(), related: Vec::new() }
    }

    /// The same, with another place that belongs to it.
    #[must_use]
    pub fn with(mut self, span: Span, says: impl Into<String>) -> Self {
        self.related.push(Related { span, says: says.into() });
        self
    }
}
