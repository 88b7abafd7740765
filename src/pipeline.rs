//! The order of the phases: desk, read, reason, inspect, render, publish.

use std::path::Path;

use jiff::civil::Date;

use crate::desk::Desk;
use crate::inspect;
use crate::model::Guide;
use crate::publish::{self, PageError, Pages, PublishError, Summary};
use crate::read::{self, Draft};
use crate::reason::{self, Facts, Findable};
use crate::render::theme::{Theme, ThemeError};
use crate::render::{self, Files, Form, RenderError};
use crate::report::Report;

/// A guide as far as it could be understood, and everything found about it.
pub struct Inspected {
    pub draft: Draft,
    pub facts: Facts,
    pub report: Report,
}

/// Why a guide without errors could not be published.
#[derive(Debug, thiserror::Error)]
pub enum CompileError {
    #[error(transparent)]
    Theme(#[from] ThemeError),
    #[error(transparent)]
    Render(#[from] RenderError),
    #[error(transparent)]
    Page(#[from] PageError),
    #[error(transparent)]
    Publish(#[from] PublishError),
}

/// Reads a guide and judges it, but for the rules of searching. Rules that depend on the day run only where `today` is
/// given.
pub fn inspect(desk: &dyn Desk, today: Option<Date>) -> Inspected {
    judged(desk, today, None)
}

/// The same, and searches for every page and every term as well, which takes as long as making the pages.
pub fn inspect_and_search(desk: &dyn Desk, today: Option<Date>) -> Inspected {
    judged(desk, today, Some(render::findable))
}

fn judged(desk: &dyn Desk, today: Option<Date>, findable: Option<fn(&Guide, &Facts) -> Findable>) -> Inspected {
    let mut draft = read::read(desk);
    reason::expand(&mut draft.guide);
    let facts = reason::facts(&draft.guide);
    let overfull = render::overfull(&draft.guide, &facts);
    let laid_out = overfull.iter().map(|it| inspect::overflow(it.span, it.side, it.over, it.room)).collect();
    let report = inspect::inspect(&draft, &facts, today, laid_out, findable);
    Inspected { draft, facts, report }
}

/// Makes the files of a guide that was judged fit to publish.
///
/// # Errors
/// When the theme cannot be used.
pub fn render(inspected: &Inspected, theme: Option<&dyn Desk>, form: Form) -> Result<Files, CompileError> {
    let guide = &inspected.draft.guide;
    let language = guide.edition.language.value.as_str();
    let theme = match theme {
        Some(folder) => Theme::with_folder(folder, language)?,
        None => Theme::shipped(language)?,
    };
    Ok(render::render(guide, &inspected.facts, theme, form)?)
}

/// Publishes files to a folder; `guide` is the folder they were made from.
///
/// # Errors
/// When the folder is unsuitable or a file cannot be written; the folder is then as it was.
pub fn publish(files: Files, out: &Path, guide: &Path) -> Result<Summary, CompileError> {
    let mut pages = Pages::default();
    for (path, bytes) in files {
        pages.insert(&path, bytes)?;
    }
    Ok(publish::publish(&pages, out, guide)?)
}
