//! Reading prose: where it stands in the file, what it links to, what it may not hold.

use super::prose::{DEEPEST, ProseScan, RefusedKind, check_prose};
use super::record::Record;
use crate::model::{EntryKey, Name, PictureSite, Prose, ProseRole, ProseSite};
use crate::report::Finding;
use crate::text::{Located, Span};

use super::ledger::Ledger;

impl Record<'_, '_> {
    /// Takes Markdown in: notes its links and pictures, complains about what it may not hold.
    pub(super) fn take_prose(&mut self, text: Located<String>, role: ProseRole) -> Prose {
        let exact = self.stands_as_read(&text);
        let span = self.text_span(&text);
        let site = ProseSite { from: self.owner.clone(), role, text: text.value, span, exact };
        note_prose(self.ledger, site)
    }

    /// True where the file holds the text just as it reads, without escapes.
    pub(super) fn stands_as_read(&self, text: &Located<String>) -> bool {
        self.offset_of(text).is_some()
    }

    /// The place of the text itself, without its quotes; the place of the whole value where escapes differ.
    pub(super) fn text_span(&self, text: &Located<String>) -> Span {
        match self.offset_of(text) {
            Some(offset) => text.span.inner(offset..offset + text.value.len()),
            None => text.span,
        }
    }

    fn offset_of(&self, text: &Located<String>) -> Option<usize> {
        let raw = self.text.get(text.span.start as usize..text.span.end as usize)?;
        raw.find(text.value.as_str())
    }
}

/// Scans prose and notes what it holds.
pub(super) fn note_prose(ledger: &mut Ledger, site: ProseSite) -> Prose {
    let scan = check_prose(&site.text);
    let places = Places { span: site.span, exact: site.exact };
    for finding in complaints(&scan, places) {
        ledger.complain(finding);
    }
    note_links(ledger, &scan, &site.from, places);
    for picture in &scan.pictures {
        let (from, span) = (site.from.clone(), places.of(&picture.range));
        let described = !picture.description.trim().is_empty();
        ledger.picture(PictureSite { from, file: picture.file.clone(), described, span });
    }
    let prose = Prose { markdown: site.text.clone(), span: site.span };
    ledger.prose(site);
    prose
}

fn note_links(ledger: &mut Ledger, scan: &ProseScan, from: &Option<EntryKey>, places: Places) {
    for link in &scan.links {
        ledger.link(from.clone(), "text", Name::global(link.kind, link.id.clone()), places.of(&link.range));
    }
}

/// Maps ranges of a text to places in its file.
#[derive(Clone, Copy)]
struct Places {
    span: Span,
    exact: bool,
}

impl Places {
    fn of(self, range: &std::ops::Range<usize>) -> Span {
        if self.exact { self.span.inner(range.clone()) } else { self.span }
    }
}

fn complaints(scan: &ProseScan, places: Places) -> Vec<Finding> {
    let raw = scan.raw_html.iter().map(|range| {
        let remedy = "Write it in Markdown. To show a `<` to the reader, put the words between backticks.";
        Finding::new("raw-html", places.of(range), "Raw HTML stands in the text.", remedy)
    });
    let refused = scan.refused.iter().map(|refused| {
        let wrong = format!("This {} goes to \"{}\", which cannot be published.", refused.what.word(), refused.target);
        let meant = super::links::link_meant(&refused.target);
        let remedy = meant.filter(|_| refused.what == RefusedKind::Link).unwrap_or_else(|| refused.what.remedy());
        Finding::new("dead-link", places.of(&refused.range), wrong, remedy)
    });
    let deep = scan.too_deep.iter().map(|range| {
        let wrong = format!("Lists or quotes are nested more than {DEEPEST} deep here.");
        let remedy = "Write the text flat: a page cannot show so many levels apart.";
        Finding::new("wrong-type", places.of(range), wrong, remedy)
    });
    raw.chain(refused).chain(deep).collect()
}
