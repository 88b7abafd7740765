//! From TOML, Markdown and CSV to the model. Only this folder knows those formats.
//!
//! Reading never stops at a mistake: each file yields what could be understood and complaints about the rest.

mod absent;
mod decode;
mod doubt;
mod fields;
mod fields_of;
mod file;
mod gaps;
mod kinds;
mod ledger;
mod links;
mod meant;
mod merge;
mod note;
mod pictures;
mod pixels;
pub(crate) mod prose;
mod quotes;
mod record;
mod results;
pub mod sentences;
mod shared;
mod statements;
mod syntax;
mod text;
mod troubles;
mod unknown;
mod values;
pub mod visible;

pub use fields_of::fields_of;

use std::collections::BTreeSet;

use rayon::prelude::*;

use decode::{NotText, decode};
use gaps::Gaps;

use crate::desk::{Desk, Trouble, What};
use crate::model::Guide;
use crate::report::Finding;
use crate::text::{FileId, Sources, Span};

/// What reading a guide folder yields.
#[derive(Debug, Default)]
pub struct Draft {
    pub guide: Guide,
    pub sources: Sources,
    /// What could not be read, in no order.
    pub findings: Vec<Finding>,
    /// Records that could not be read whole: rules about them keep silent.
    pub silenced: Vec<Span>,
    /// Records of entries that mention one of those: rules that look from entry to entry keep silent.
    pub doubted: Vec<Span>,
    /// A file that would be guide.toml but for its capitals.
    other_guide: Option<String>,
}

/// Reads a whole guide folder.
pub fn read(desk: &dyn Desk) -> Draft {
    let listing = desk.list();
    let mut intake = Intake { desk, draft: Draft::default(), gaps: Gaps::default(), texts: Vec::new() };
    for path in &listing.files {
        intake.take_in(path);
    }
    intake.report_strays(&listing.files);
    for trouble in &listing.troubles {
        intake.report(trouble);
    }
    let Intake { mut draft, gaps, texts, .. } = intake;
    let pieces: Vec<file::Piece> = texts
        .into_par_iter()
        .filter_map(|(id, role)| draft.sources.get(id).map(|source| file::read(id, source, role)))
        .collect();
    merge::into_draft(pieces, gaps, &mut draft);
    draft
}

/// Files being taken in, before any of them is understood.
struct Intake<'d> {
    desk: &'d dyn Desk,
    draft: Draft,
    gaps: Gaps,
    texts: Vec<(FileId, file::Role)>,
}

impl Intake<'_> {
    fn take_in(&mut self, path: &str) {
        match file::role_of(path) {
            file::Role::Ignored | file::Role::Stray => {}
            file::Role::Media => self.take_picture(path),
            role => match self.desk.read(path) {
                Ok(bytes) => self.take_text(path, bytes, role),
                Err(trouble) => self.report(&trouble),
            },
        }
    }

    fn take_text(&mut self, path: &str, bytes: Vec<u8>, role: file::Role) {
        let decoded = decode(bytes);
        let id = self.draft.sources.add(path, decoded.text);
        if let Some((at, trouble)) = decoded.trouble {
            self.draft.findings.push(troubles::not_text(Span::new(id, at..at), trouble));
            self.draft.silenced.push(Span::new(id, 0..usize::MAX));
            if trouble == NotText::Binary {
                self.gaps.path(path);
                return;
            }
        }
        self.texts.push((id, role));
    }

    fn take_picture(&mut self, path: &str) {
        let name = path.strip_prefix("media/").unwrap_or(path).to_owned();
        match self.desk.read(path) {
            Ok(bytes) => {
                self.look_into(path, &bytes);
                let size = imagesize::blob_size(&bytes).ok();
                let size =
                    size.and_then(|size| Some((u32::try_from(size.width).ok()?, u32::try_from(size.height).ok()?)));
                let size = size.or_else(|| pictures::svg_size(&bytes));
                self.draft.guide.index.media.insert(name.clone(), size);
                self.draft.guide.pictures.insert(name, bytes);
            }
            Err(trouble) => self.report(&trouble),
        }
    }

    fn look_into(&mut self, path: &str, bytes: &[u8]) {
        if let Some(trouble) = path.to_ascii_lowercase().ends_with(".svg").then(|| pictures::svg(bytes)).flatten() {
            let file = self.draft.sources.add(path, String::from_utf8_lossy(bytes));
            self.draft.findings.push(trouble.finding(file));
        }
        if let Some(trouble) = pixels::trouble(path, bytes) {
            let file = self.draft.sources.add(path, "");
            self.draft.findings.push(pixels::finding(file, trouble));
        }
    }

    /// Reports files that stand where nothing is read: of a folder with a wrong name, only the first.
    fn report_strays(&mut self, files: &[String]) {
        let mut folders = BTreeSet::new();
        for path in files.iter().filter(|path| file::role_of(path) == file::Role::Stray) {
            self.note_unread(path);
            let folder = path.split_once('/').map(|(folder, _)| folder);
            let unknown = folder.filter(|folder| !file::is_folder(folder));
            // A guide.toml in other letters is reported as missing, under its name.
            let guide = path.eq_ignore_ascii_case(file::GUIDE);
            if guide {
                self.draft.other_guide = Some(path.clone());
            }
            if guide || unknown.is_some_and(|folder| !folders.insert(folder)) {
                continue;
            }
            let id = self.draft.sources.add(path, "");
            self.draft.findings.push(troubles::stray(path, Span::start_of(id)));
        }
    }

    fn note_unread(&mut self, path: &str) {
        match path.strip_prefix("media/") {
            Some(name) => self.note_picture(name),
            None => {
                if let Ok(bytes) = self.desk.read(path) {
                    self.gaps.text(&String::from_utf8_lossy(&bytes));
                }
            }
        }
    }

    /// A picture that is there but cannot be shown, under each name a writer may give it.
    fn note_picture(&mut self, name: &str) {
        let last = name.rsplit('/').next().unwrap_or(name);
        for name in [name, last] {
            self.draft.guide.index.media.entry(name.to_owned()).or_insert(None);
        }
    }

    /// Reports trouble with one path.
    fn report(&mut self, trouble: &Trouble) {
        let path = if trouble.path.is_empty() { "." } else { trouble.path.as_str() };
        match (&trouble.what, path.strip_prefix("media/")) {
            (What::SameButForCase { other }, _) => self.gaps.twins.extend([path.to_owned(), other.clone()]),
            (_, Some(name)) => self.note_picture(name),
            _ => self.gaps.path(path),
        }
        let file = self.draft.sources.find(path).unwrap_or_else(|| self.draft.sources.add(path, ""));
        self.draft.findings.push(troubles::trouble(trouble, Span::start_of(file)));
    }
}
