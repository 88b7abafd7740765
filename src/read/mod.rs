//! From TOML, Markdown and CSV to the model. Only this folder knows those formats.
//!
//! Reading never stops at a mistake: each file yields what could be understood and complaints about the rest.

mod fields;
mod file;
mod kinds;
mod ledger;
mod links;
mod merge;
mod note;
pub(crate) mod prose;
mod record;
mod results;
pub mod sentences;
mod shared;
mod syntax;
mod text;
mod troubles;
mod values;

use rayon::prelude::*;

use crate::desk::Desk;
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
}

/// Reads a whole guide folder.
pub fn read(desk: &dyn Desk) -> Draft {
    let listing = desk.list();
    let mut draft = Draft::default();
    let mut texts: Vec<(FileId, file::Role)> = Vec::new();
    for path in &listing.files {
        take_in(desk, path, &mut draft, &mut texts);
    }
    for trouble in &listing.troubles {
        troubles::report(trouble, &mut draft);
    }
    let pieces: Vec<file::Piece> = texts
        .into_par_iter()
        .filter_map(|(id, role)| draft.sources.get(id).map(|source| file::read(id, source, role)))
        .collect();
    merge::into_draft(pieces, &mut draft);
    draft
}

fn take_in(desk: &dyn Desk, path: &str, draft: &mut Draft, texts: &mut Vec<(FileId, file::Role)>) {
    match file::role_of(path) {
        file::Role::Ignored => {}
        file::Role::Stray => {
            let id = draft.sources.add(path, "");
            draft.findings.push(troubles::stray(path, Span::start_of(id)));
        }
        file::Role::Media => take_picture(desk, path, draft),
        role => match desk.read(path) {
            Ok(bytes) => take_text(path, bytes, role, draft, texts),
            Err(trouble) => troubles::report(&trouble, draft),
        },
    }
}

fn take_text(path: &str, bytes: Vec<u8>, role: file::Role, draft: &mut Draft, texts: &mut Vec<(FileId, file::Role)>) {
    match String::from_utf8(bytes) {
        Ok(text) => {
            let text = text.strip_prefix('\u{feff}').map(str::to_owned).unwrap_or(text);
            texts.push((draft.sources.add(path, text), role));
        }
        Err(error) => {
            let valid = error.utf8_error().valid_up_to();
            let lossy = String::from_utf8_lossy(error.as_bytes().get(..valid).unwrap_or_default()).into_owned();
            let id = draft.sources.add(path, lossy);
            draft.findings.push(troubles::not_utf8(Span::new(id, valid..valid)));
            draft.silenced.push(Span::new(id, 0..usize::MAX));
        }
    }
}

fn take_picture(desk: &dyn Desk, path: &str, draft: &mut Draft) {
    let name = path.strip_prefix("media/").unwrap_or(path).to_owned();
    match desk.read(path) {
        Ok(bytes) => {
            let size = imagesize::blob_size(&bytes).ok();
            let size = size.and_then(|size| Some((u32::try_from(size.width).ok()?, u32::try_from(size.height).ok()?)));
            draft.guide.index.media.insert(name.clone(), size);
            draft.guide.pictures.insert(name, bytes);
        }
        Err(trouble) => troubles::report(&trouble, draft),
    }
}
