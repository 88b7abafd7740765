//! What reading one file leaves behind besides its entries: complaints, ids, mentions, values, texts.

use std::collections::BTreeSet;
use std::ops::Range;

use crate::model::{
    Cited, EntryKey, FigureSite, Index, Link, LinkSite, Name, PictureSite, ProseRole, ProseSite, ValueSite, Variant,
    VariedSite,
};
use crate::report::Finding;
use crate::text::{FileId, Span};

/// An id declared in a file.
#[derive(Debug, Clone)]
pub(super) struct Declaration {
    pub(super) name: Name,
    /// Where the id stands.
    pub(super) id: Span,
    /// The record it names.
    pub(super) record: Span,
    /// True where the record is missing from the model.
    pub(super) broken: bool,
}

/// The record of reading one file.
#[derive(Debug, Default)]
pub(super) struct Ledger {
    pub(super) file: FileId,
    pub(super) findings: Vec<Finding>,
    /// Records that could not be read whole.
    pub(super) silenced: Vec<Span>,
    /// The last entry whose head was read.
    pub(super) main: Option<EntryKey>,
    /// Ids declared.
    pub(super) declared: Vec<Declaration>,
    /// The records behind entries, for softenings by entry.
    pub(super) records: Vec<(EntryKey, Span)>,
    pub(super) links: Vec<LinkSite>,
    pub(super) values: Vec<ValueSite>,
    pub(super) figures: Vec<FigureSite>,
    pub(super) varied: Vec<VariedSite>,
    pub(super) prose: Vec<ProseSite>,
    pub(super) pictures: Vec<PictureSite>,
    /// Statements lost to syntax errors, as bytes of the file, in order.
    pub(super) damage: Vec<Range<usize>>,
    /// Where table headers begin, in order; only noted where there is damage.
    pub(super) headers: Vec<usize>,
    /// Words that stand where nothing could be read: an id among them may be declared there.
    pub(super) unread: BTreeSet<String>,
}

impl Ledger {
    pub(super) fn new(file: FileId) -> Self {
        Self { file, ..Self::default() }
    }

    pub(super) fn complain(&mut self, finding: Finding) {
        self.findings.push(finding);
    }

    /// Declares an id that stands at `id` in the record `record`.
    pub(super) fn declare(&mut self, name: Name, id: Span, record: Span) -> usize {
        self.declared.push(Declaration { name, id, record, broken: false });
        self.declared.len() - 1
    }

    pub(super) fn lose(&mut self, declared: usize) {
        if let Some(declared) = self.declared.get_mut(declared) {
            declared.broken = true;
        }
    }

    /// Notes the words of a text that could not be read.
    pub(super) fn unread(&mut self, text: &str) {
        self.unread.extend(words_like_ids(text));
    }

    /// True where a statement between a header and the next one was lost.
    pub(super) fn is_hurt_after(&self, header: usize) -> bool {
        let next = self.headers.get(self.headers.partition_point(|start| *start <= header)).copied();
        let next = next.unwrap_or(usize::MAX);
        self.damage.iter().any(|range| range.start < next && header < range.end)
    }

    pub(super) fn link(&mut self, from: Option<EntryKey>, role: &'static str, to: Name, span: Span) {
        self.links.push(LinkSite { from, role, to, span });
    }

    pub(super) fn value(&mut self, from: Option<EntryKey>, role: &'static str, source: Option<Cited>, span: Span) {
        self.values.push(ValueSite { from, role, source, span });
    }

    pub(super) fn figure(&mut self, from: Option<EntryKey>, role: &'static str, text: &str) {
        self.figures.push(FigureSite { from, role, text: text.to_owned() });
    }

    pub(super) fn varies(
        &mut self,
        from: Option<EntryKey>,
        role: &'static str,
        records: Vec<Option<Vec<Link<Variant>>>>,
        span: Span,
    ) {
        if records.iter().any(Option::is_some) {
            self.varied.push(VariedSite { from, role, records, span });
        }
    }

    pub(super) fn prose(&mut self, site: ProseSite) {
        self.prose.push(site);
    }

    pub(super) fn picture(&mut self, site: PictureSite) {
        self.pictures.push(site);
    }

    /// Records one line of text that a person reads.
    pub(super) fn line(&mut self, from: Option<EntryKey>, role: ProseRole, text: &str, span: Span, exact: bool) {
        self.prose(ProseSite { from, role, text: text.to_owned(), span, exact });
    }

    /// Moves everything but declared ids, complaints and silences into the guide's index.
    pub(super) fn pour_into(&mut self, index: &mut Index) {
        index.links.append(&mut self.links);
        index.values.append(&mut self.values);
        index.figures.append(&mut self.figures);
        index.varied.append(&mut self.varied);
        index.prose.append(&mut self.prose);
        index.pictures.append(&mut self.pictures);
        index.records.append(&mut self.records);
    }
}

/// What could be an id in a text, whatever its spelling: `Canopy_Slow` counts as `canopy-slow`.
pub(super) fn words_like_ids(text: &str) -> impl Iterator<Item = String> {
    let part = |letter: char| letter.is_ascii_alphanumeric() || matches!(letter, '-' | '_');
    text.split(move |letter| !part(letter)).filter(|word| (1..=80).contains(&word.len())).map(|word| {
        let word = word.to_ascii_lowercase().replace('_', "-");
        word.trim_matches('-').to_owned()
    })
}
