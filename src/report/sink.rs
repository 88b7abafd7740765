//! The one place where findings get their level, are softened, silenced and sorted.

use std::collections::{BTreeMap, BTreeSet};

use super::{Finding, Level, RuleInfo};
use crate::text::{FileId, Sources, Span, joined};

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
    /// At most [`MOST_OF_A_RULE`] of each rule and level.
    pub findings: Vec<Judged>,
    /// How many more there are.
    pub held_back: BTreeMap<&'static str, HeldBack>,
}

/// Findings of one rule that are counted but not shown.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct HeldBack {
    pub errors: usize,
    pub warnings: usize,
    pub advice: usize,
}

/// Nobody mends more findings of one rule in one go, and a terminal holds no more.
pub const MOST_OF_A_RULE: usize = 200;

/// Takes findings in and judges them at the end.
pub struct Sink {
    rules: BTreeMap<&'static str, &'static RuleInfo>,
    findings: Vec<Finding>,
    silenced: Vec<Span>,
    doubted: Vec<Span>,
    softenings: Vec<Soften>,
}

/// Families whose findings stand on their own even in a record that could not be read whole.
const ALWAYS_HEARD: [&str; 2] = ["form", "references"];

/// Families whose rules look at one entry and the names in it, not into other entries.
const LOOKING_AT_ONE_ENTRY: [&str; 2] = ["faults", "writing"];

/// Rules that find what is missing anywhere in the guide: while a part of it cannot be read, they cannot know.
const ASKING_THE_WHOLE_GUIDE: [&str; 7] = [
    "act-band-without-remedy",
    "hazard-of-no-part",
    "procedure-never-used",
    "reading-never-used",
    "signal-never-set",
    "part-not-covered-by-any-fault",
    "step-never-ready",
];

impl Sink {
    /// A sink that knows these rules.
    pub fn new(rules: impl IntoIterator<Item = &'static RuleInfo>) -> Self {
        let rules = rules.into_iter().map(|rule| (rule.name, rule)).collect();
        Self { rules, findings: Vec::new(), silenced: Vec::new(), doubted: Vec::new(), softenings: Vec::new() }
    }

    /// Takes findings in.
    pub fn extend(&mut self, findings: impl IntoIterator<Item = Finding>) {
        self.findings.extend(findings);
    }

    /// Silences rules about records that could not be read whole: one mistake, one finding.
    pub fn silence(&mut self, spans: impl IntoIterator<Item = Span>) {
        self.silenced.extend(spans);
    }

    /// Silences rules that look from entry to entry about records that rest on a broken one.
    pub fn doubt(&mut self, spans: impl IntoIterator<Item = Span>) {
        self.doubted.extend(spans);
    }

    /// Lowers findings to advice where the writer has given a reason.
    pub fn soften(&mut self, softenings: Vec<Soften>) {
        self.softenings = softenings;
    }

    /// Judges everything taken in. A finding of a rule the catalogue does not know is left out; a test forbids it.
    pub fn judge(mut self, sources: &Sources) -> Report {
        self.silenced = joined(std::mem::take(&mut self.silenced));
        self.doubted = joined(std::mem::take(&mut self.doubted));
        let mut findings = std::mem::take(&mut self.findings);
        findings.retain(|finding| !self.is_silenced(finding));
        let mut used = BTreeSet::new();
        let mut judged: Vec<Judged> = findings.into_iter().filter_map(|it| self.judge_one(it, &mut used)).collect();
        let unused = self.softenings.iter().enumerate().filter(|(index, _)| !used.contains(index));
        let whole = self.silenced.is_empty();
        let unused: Vec<Finding> = unused.filter(|_| whole).map(|(_, soften)| soften.unused()).collect();
        judged.extend(unused.into_iter().filter_map(|it| self.judge_one(it, &mut BTreeSet::new())));
        judged.sort_by(|left, right| {
            let order = place(sources, &left.finding).cmp(&place(sources, &right.finding));
            order.then_with(|| left.finding.cmp(&right.finding))
        });
        judged.dedup_by(|left, right| left.finding == right.finding);
        Report::of(judged)
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
        let asks_all = ASKING_THE_WHOLE_GUIDE.contains(&finding.rule) && !self.silenced.is_empty();
        let alone = self.rules.get(finding.rule).is_some_and(|rule| LOOKING_AT_ONE_ENTRY.contains(&rule.family));
        let doubted = !alone && is_within(&self.doubted, finding.span);
        !heard && (asks_all || doubted || is_within(&self.silenced, finding.span))
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
    /// A report of these, which are sorted: what goes beyond the limit of a rule is only counted.
    fn of(mut findings: Vec<Judged>) -> Self {
        let mut shown: BTreeMap<(&str, Level), usize> = BTreeMap::new();
        let mut held_back: BTreeMap<&'static str, HeldBack> = BTreeMap::new();
        findings.retain(|judged| {
            let count = shown.entry((judged.rule.name, judged.level)).or_default();
            *count += 1;
            if *count > MOST_OF_A_RULE {
                *held_back.entry(judged.rule.name).or_default().of_mut(judged.level) += 1;
            }
            *count <= MOST_OF_A_RULE
        });
        Self { findings, held_back }
    }

    /// How many findings have this level, those held back included.
    pub fn count(&self, level: Level) -> usize {
        let shown = self.findings.iter().filter(|judged| judged.level == level).count();
        shown + self.held_back.values().map(|held| held.of(level)).sum::<usize>()
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
            self.held_back.retain(|name, _| rules.iter().any(|rule| rule == name));
        }
        self
    }
}

impl HeldBack {
    /// How many have this level.
    pub fn of(self, level: Level) -> usize {
        match level {
            Level::Error => self.errors,
            Level::Warning => self.warnings,
            Level::Advice => self.advice,
        }
    }

    /// How many there are in all.
    pub fn sum(self) -> usize {
        self.errors + self.warnings + self.advice
    }

    fn of_mut(&mut self, level: Level) -> &mut usize {
        match level {
            Level::Error => &mut self.errors,
            Level::Warning => &mut self.warnings,
            Level::Advice => &mut self.advice,
        }
    }
}

/// True where one of the spans, which are sorted and free of overlaps, holds this one.
fn is_within(spans: &[Span], span: Span) -> bool {
    let after = spans.partition_point(|outer| (outer.file, outer.start) <= (span.file, span.start));
    after.checked_sub(1).and_then(|last| spans.get(last)).is_some_and(|outer| holds(*outer, span))
}

fn place<'s>(sources: &'s Sources, finding: &Finding) -> (&'s str, u32, u32, &'static str) {
    (sources.path(finding.span.file), finding.span.start, finding.span.end, finding.rule)
}

fn holds(outer: Span, inner: Span) -> bool {
    outer.file == inner.file && outer.start <= inner.start && inner.end <= outer.end
}
