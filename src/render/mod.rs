//! Pages in memory: views, templates, drawings, the search index, the card.

pub mod address;
mod calculator;
mod card;
mod colours;
mod documents;
mod drawings;
mod edition;
mod findable;
mod highlight;
mod markdown;
pub mod minify;
mod one_file;
mod pages;
mod place;
mod registers;
mod running;
pub mod search;
mod shown;
pub mod theme;
pub mod views;
mod walk_data;
mod written_tables;

pub use findable::findable;

use std::collections::BTreeMap;

use rayon::prelude::*;
use tera::Context;

use crate::model::{Entry, Guide, Prose};
use crate::reason::Facts;
pub use card::{Overfull, overfull};
use pages::{COPY_PAGE, Draft};
use place::Place;
use theme::{Theme, ThemeError};
use views::frame;

/// Finished files by their path in the published folder, with `/`.
pub type Files = BTreeMap<String, Vec<u8>>;

/// Days in a month, to say how old an edition may grow.
const DAYS_A_MONTH: u32 = 30;

/// Why no pages could be made.
#[derive(Debug, thiserror::Error)]
pub enum RenderError {
    #[error(transparent)]
    Theme(#[from] ThemeError),
    #[error(transparent)]
    OneFile(#[from] one_file::OneFileError),
    #[error(transparent)]
    Search(#[from] search::BuildError),
    /// A page without its checks would look as if there were nothing to check.
    #[error("no order of checks can be worked out:\n{0}")]
    Unplanned(String),
}

/// How a guide is published.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Form {
    /// A folder of pages.
    #[default]
    Folder,
    /// One file with every page in it.
    OneFile,
}

/// Makes every file of a guide in a form.
///
/// # Errors
/// When a template of the theme fails on a page, a fault cannot be planned, or the guide is too large for its search
/// index.
pub fn render(guide: &Guide, facts: &Facts, mut theme: Theme, form: Form) -> Result<Files, RenderError> {
    refuse_unplanned(guide, facts)?;
    let shared = {
        let place = Place { guide, facts, theme: &theme, root: "" };
        guide_view(place)
    };
    theme.share(&shared);
    let theme = &theme;
    let orders = pages::orders(guide);
    let made: Vec<(String, String)> = orders
        .par_iter()
        .map(|order| {
            let root = address::root(&order.path);
            let place = Place { guide, facts, theme, root: &root };
            page(theme, (order.make)(place))
        })
        .collect::<Result<_, ThemeError>>()?;
    let mut files: Files = made.into_iter().map(|(path, html)| (path, html.into_bytes())).collect();
    let pages = files.len() + 1;
    let assets = theme.assets().iter().filter(|(path, _)| !is_unused_style(path, &files));
    let assets: Files = assets.map(|(path, bytes)| (path.clone(), bytes.clone())).collect();
    files.extend(assets);
    files.entry(running::PATH.to_owned()).or_default().extend(running::style(&shared, theme).into_bytes());
    files.extend(guide.pictures.iter().map(|(name, bytes)| (format!("media/{name}"), bytes.clone())));
    let place = Place { guide, facts, theme, root: "" };
    files.extend(search::build(&registers::search_guide(place))?);
    let words = documents::search_words(place).into_bytes();
    files.entry(search::ENTRY.to_owned()).and_modify(|index| *index = [theme.search_script(), &words, index].concat());
    let beside = Place { root: "../", ..place };
    let data = |fault| {
        let script = walk_data::script(place, fault)? + &calculator::Block::statement(beside, fault);
        Some((walk_data::path(Entry::id(fault)), script.into_bytes()))
    };
    files.extend(guide.faults.iter().filter_map(data));
    let hash = edition::fingerprint(&files);
    files.insert(edition::PATH.to_owned(), edition::script(place, &hash).into_bytes());
    let (path, html) = page(theme, pages::copy_page(place, pages, files.len() + 1, &hash))?;
    debug_assert_eq!(path, COPY_PAGE);
    files.insert(path, html.into_bytes());
    match form {
        Form::Folder => Ok(files),
        Form::OneFile => Ok(Files::from([one_file::one_file(&files, theme, &shared.title, &shared.edition)?])),
    }
}

/// Whether a style sheet is for pages that this guide has not, as that of another size of card.
fn is_unused_style(path: &str, pages: &Files) -> bool {
    let asks = |page: &Vec<u8>| std::str::from_utf8(page).is_ok_and(|text| text.contains(path));
    path.starts_with("style/") && !pages.values().any(asks)
}

fn refuse_unplanned(guide: &Guide, facts: &Facts) -> Result<(), RenderError> {
    let faults: Vec<&str> = guide.faults.iter().map(Entry::id).collect();
    let wrong = faults.par_iter().filter_map(|fault| {
        let why = facts.plans.error(fault)?;
        Some(format!("fault `{fault}`: {why}"))
    });
    let wrong: Vec<String> = wrong.collect();
    if wrong.is_empty() { Ok(()) } else { Err(RenderError::Unplanned(wrong.join("\n"))) }
}

fn page(theme: &Theme, draft: Draft) -> Result<(String, String), ThemeError> {
    let mut context = Context::new();
    context.insert("sheet", &draft.sheet);
    context.insert_value("v", draft.view);
    context.insert("path", &draft.path);
    let html = theme.page(&format!("{}.html", draft.template), &draft.path, &context)?;
    Ok((draft.path, without_empty_lines(html)))
}

/// Templates leave empty lines behind; inside a snippet they mean something.
fn without_empty_lines(html: String) -> String {
    if html.contains("<pre") {
        return html;
    }
    let mut tight = String::with_capacity(html.len());
    html.lines().filter(|line| !line.trim().is_empty()).for_each(|line| {
        tight.push_str(line);
        tight.push('\n');
    });
    tight
}

fn guide_view(place: Place<'_>) -> frame::Guide {
    let edition = &place.guide.edition;
    frame::Guide {
        title: edition.title.value.clone(),
        edition: edition.number.value.clone(),
        date: edition.date.value.to_string(),
        publisher: edition.publisher.value.clone(),
        language: edition.language.value.clone(),
        direction: direction(&edition.language).to_owned(),
        invented: edition.invented.is_some(),
        standing_html: standing(place, edition.standing.as_ref()),
        escalation: escalation(place),
        review_days: edition.review_months.as_ref().map_or(0, |months| months.value.saturating_mul(DAYS_A_MONTH)),
        address: edition.base_address.as_ref().map(|address| address.value.clone()),
    }
}

/// Who may work, and whose instructions come first: the guide's own text, else the shipped one.
fn standing(place: Place<'_>, own: Option<&Prose>) -> String {
    match own {
        Some(prose) => place.blocks(prose, ""),
        None => format!("<p>{}</p>", markdown::escaped(&place.word("standing"))),
    }
}

fn escalation(place: Place<'_>) -> frame::Escalation {
    let Some(escalation) = &place.guide.escalation else { return frame::Escalation::default() };
    let hours = escalation.hours.as_ref().map(|hours| format!(" ({})", hours.value)).unwrap_or_default();
    frame::Escalation {
        who: escalation.name.value.clone(),
        how_html: format!("<p>{}</p>", markdown::escaped(&format!("{}{hours}", escalation.contact.value))),
        tell: escalation.have_ready.iter().map(|thing| thing.value.clone()).collect(),
    }
}

/// The writing direction of a language, by its BCP 47 tag.
fn direction(language: &str) -> &'static str {
    const RIGHT_TO_LEFT: [&str; 8] = ["ar", "dv", "fa", "he", "ps", "ug", "ur", "yi"];
    let primary = language.split('-').next().unwrap_or("");
    if RIGHT_TO_LEFT.contains(&primary) { "rtl" } else { "ltr" }
}
