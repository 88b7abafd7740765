//! The one place where findings get their level, are softened, silenced and sorted.

use std::collections::{BTreeMap, BTreeSet};

use super::{Finding, Level, RuleInfo};
use crate::text::{FileId, Sources, Span};

/// A softening, as the sink needs it.
#[derive(Debug, Clone)]
pub struct Soften {
    pub rule: String,
    pub scope: Scope,
    pub because: String,
    /// Where the softening is written.
    pub span: Span,
}

/// What a softening covers.
#[derive(Debug, Clone)]
pub enum Scope {
    Everywhere,
    File(FileId),
    /// The records of one entry.
    Entry(Vec<Span>),
}

/// A finding with its level and the rule behind it.
#[derive(Debug, Clone)]
pub struct Judged {
    pub finding: Finding,
    pub level: Level,
    pub rule: &'static RuleInfo,
    /// The reason it was softened for, if it was.
    pub softened: Option<String>,
}

/// All findings of a run, sorted by place.
#[derive(Debug, Clone, Default)]
pub struct Report {
    pub findings: Vec<Judged>,
}

/// Takes findings in and judges them at the end.
pub struct Sink {
    rules: BTreeMap<&'static str, &'static RuleInfo>,
    findings: Vec<Finding>,
    silenced: Vec<Span>,
    softenings: Vec<Soften>,
}

/// Families whose findings stand on their own even in a record that could not be read whole.
const ALWAYS_HEARD: [&str; 2] = ["form", "references"];

impl Sink {
    /// A sink that knows these rules.
    pub fn new(rules: impl IntoIterator<Item = &'static RuleInfo>) -> Self {
        let rules = rules.into_iter().map(|rule| (rule.name, rule)).collect();
        Self { rules, findings: Vec::new(), silenced: Vec::new(), softenings: Vec::new() }
    }

    /// Takes findings in.
    pub fn extend(&mut self, findings: impl IntoIterator<Item = Finding>) {
        self.findings.extend(findings);
    }

    /// Silences rules about records that could not be read whole: one mistake, one finding.
    pub fn silence(&mut self, spans: impl IntoIterator<Item = Span>) {
        self.silenced.extend(spans);
    }

    /// Lowers findings to advice where the writer has given a reason.
    pub fn soften(&mut self, softenings: Vec<Soften>) {
        self.softenings = softenings;
    }

    /// Judges everything taken in. A finding of a rule the catalogue does not know is left out; a test forbids it.
    pub fn judge(mut self, sources: &Sources) -> Report {
        let mut findings = std::mem::take(&mut self.findings);
        findings.retain(|finding| !self.is_silenced(finding));
        let mut used = BTreeSet::new();
        let mut judged: Vec<Judged> = findings.into_iter().filter_map(|it| self.judge_one(it, &mut used)).collect();
        let unused = self.softenings.iter().enumerate().filter(|(index, _)| !used.contains(index));
        let unused: Vec<Finding> = unused.map(|(_, soften)| soften.unused()).collect();
        judged.extend(unused.into_iter().filter_map(|it| self.judge_one(it, &mut BTreeSet::new())));
        judged.sort_by(|left, right| {
            let order = place(sources, &left.finding).cmp(&place(sources, &right.finding));
            order.then_with(|| left.finding.cmp(&right.finding))
        });
        judged.dedup_by(|left, right| left.finding == right.finding);
        Report { findings: judged }
    }

    fn judge_one(&self, finding: Finding, used: &mut BTreeSet<usize>) -> Option<Judged> {
        let rule = *self.rules.get(finding.rule)?;
        let softening = self.softenings.iter().position(|soften| rule.softenable && soften.covers(&finding));
        let (level, softened) =
            match softening.and_then(|index| self.softenings.get(index).map(|soften| (index, soften))) {
                Some((index, soften)) => {
                    used.insert(index);
                    (Level::Advice, Some(soften.because.clone()))
                }
                None => (rule.level, None),
            };
        Some(Judged { finding, level, rule, softened })
    }

    fn is_silenced(&self, finding: &Finding) -> bool {
        let heard = self.rules.get(finding.rule).is_some_and(|rule| ALWAYS_HEARD.contains(&rule.family));
        !heard && self.silenced.iter().any(|span| holds(*span, finding.span))
    }
}

impl Soften {
    fn unused(&self) -> Finding {
        let wrong = format!("Nothing here breaks `{}`: the softening has no work to do.", self.rule);
        Finding::new("unused-softening", self.span, wrong, "Take the softening out.")
    }

    fn covers(&self, finding: &Finding) -> bool {
        self.rule == finding.rule
            && match &self.scope {
                Scope::Everywhere => true,
                Scope::File(file) => *file == finding.span.file,
                Scope::Entry(spans) => spans.iter().any(|span| holds(*span, finding.span)),
            }
    }
}

impl Report {
    /// How many findings have this level.
    pub fn count(&self, level: Level) -> usize {
        self.findings.iter().filter(|judged| judged.level == level).count()
    }

    /// True where nothing may be published: an error, or in a strict run a warning.
    pub fn forbids_publishing(&self, strict: bool) -> bool {
        self.count(Level::Error) > 0 || (strict && self.count(Level::Warning) > 0)
    }

    /// Only the findings of these rules; all of them where none is named.
    #[must_use]
    pub fn only(mut self, rules: &[String]) -> Self {
        if !rules.is_empty() {
            self.findings.retain(|judged| rules.iter().any(|rule| rule == judged.rule.name));
        }
        self
    }
}

fn place<'s>(sources: &'s Sources, finding: &Finding) -> (&'s str, u32, u32, &'static str) {
    (sources.path(finding.span.file), finding.span.start, finding.span.end, finding.rule)
}

fn holds(outer: Span, inner: Span) -> bool {
    outer.file == inner.file && outer.start <= inner.start && inner.end <= outer.end
}
