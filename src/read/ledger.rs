//! What reading one file leaves behind besides its entries: complaints, ids, mentions, values, texts.

use crate::model::{
    Cited, EntryKey, Index, Link, LinkSite, Name, PictureSite, ProseRole, ProseSite, ValueSite, Variant, VariedSite,
};
use crate::report::Finding;
use crate::text::{FileId, Span};

/// The record of reading one file.
#[derive(Debug, Default)]
pub(super) struct Ledger {
    pub(super) file: FileId,
    pub(super) findings: Vec<Finding>,
    /// Records that could not be read whole.
    pub(super) silenced: Vec<Span>,
    /// Ids declared, each with its place and whether its record is missing from the model.
    pub(super) declared: Vec<(Name, Span, bool)>,
    /// The records behind entries, for softenings by entry.
    pub(super) records: Vec<(EntryKey, Span)>,
    pub(super) links: Vec<LinkSite>,
    pub(super) values: Vec<ValueSite>,
    pub(super) varied: Vec<VariedSite>,
    pub(super) prose: Vec<ProseSite>,
    pub(super) pictures: Vec<PictureSite>,
}

impl Ledger {
    pub(super) fn new(file: FileId) -> Self {
        Self { file, ..Self::default() }
    }

    pub(super) fn complain(&mut self, finding: Finding) {
        self.findings.push(finding);
    }

    pub(super) fn declare(&mut self, name: Name, span: Span) -> usize {
        self.declared.push((name, span, false));
        self.declared.len() - 1
    }

    pub(super) fn lose(&mut self, declared: usize) {
        if let Some((_, _, broken)) = self.declared.get_mut(declared) {
            *broken = true;
        }
    }

    pub(super) fn link(&mut self, from: Option<EntryKey>, role: &'static str, to: Name, span: Span) {
        self.links.push(LinkSite { from, role, to, span });
    }

    pub(super) fn value(&mut self, from: Option<EntryKey>, role: &'static str, source: Option<Cited>, span: Span) {
        self.values.push(ValueSite { from, role, source, span });
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
        index.varied.append(&mut self.varied);
        index.prose.append(&mut self.prose);
        index.pictures.append(&mut self.pictures);
        index.records.append(&mut self.records);
    }
}
