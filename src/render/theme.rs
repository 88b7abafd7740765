//! The theme: templates, interface words, style and script. Embedded in the binary; a folder may replace any file.

use std::collections::{BTreeMap, BTreeSet};

use include_dir::{Dir, include_dir};
use serde::Serialize;
use tera::{Context, Tera};

use super::minify::{self, ScriptError};
use crate::desk::Desk;

static EMBEDDED: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/themes");

/// Folders of a theme that are published.
const PUBLISHED: [&str; 3] = ["font/", "style/", "script/"];

/// The folders of a theme, with the endings of the files that belong in them.
const FOLDERS: [(&str, &[&str]); 6] = [
    ("templates", &["html"]),
    ("style", &["css"]),
    ("script", &["js"]),
    ("words", &["toml", "json"]),
    ("font", &["ttf", "otf", "woff", "woff2"]),
    ("one-file", &[]),
];

/// Scripts that are published as one under the path of the first: what every page needs, and what the pages of the work
/// need, most of it each.
const JOINTS: [&[&str]; 2] = [
    &["script/guide.js", "script/search-box.js"],
    &[
        WORK,
        "script/plan-cover.js",
        "script/plan-search.js",
        "script/plan.js",
        "script/reading.js",
        "script/record.js",
        "script/procedure.js",
        "script/quote.js",
        "script/walk.js",
    ],
];

/// What reads the search index; it stands in front of it, with its words, so that a page loads it with the first search.
const SEARCH: &str = "script/search-core.js";

/// Before a script whose functions are all wanted soon: an engine that knows it makes them ready while it reads, beside the
/// page (Chromium from 136 on; a comment to others).
const READ_AHEAD: &[u8] = b"//# allFunctionsCalledOnLoad\n";

/// Names of properties that are shortened in the scripts of the work, one a line; `#` begins a comment.
const OWN_NAMES: &str = "script/own-names.txt";

/// The script of the pages of the work.
pub(super) const WORK: &str = "script/work.js";

/// The script that shows the pages of a guide in one file; no page of a folder needs it.
const PAGES_SCRIPT: &str = "one-file/pages.js";

/// The template that all others extend, and the one with their shared pieces: they are loaded before the others.
const BEFORE_OTHERS: [&str; 2] = ["pieces.html", "base.html"];

/// Interface words by key.
pub type Words = BTreeMap<String, String>;

/// A theme, ready to render.
pub struct Theme {
    tera: Tera,
    words: Words,
    search_words: serde_json::Map<String, serde_json::Value>,
    assets: BTreeMap<String, Vec<u8>>,
    search_script: Vec<u8>,
    pages_script: String,
}

/// What is wrong with a theme, or with what a template does.
#[derive(Debug, thiserror::Error)]
pub enum ThemeError {
    #[error("{path} cannot be read. Make it readable, or take it out of the theme.")]
    Unreadable { path: String },
    #[error(
        "{path} lies in no folder of a theme, so nothing would use it. Move it into {folder}/ there, or take it out."
    )]
    Stray { path: String, folder: &'static str },
    #[error("{path} is not text in UTF-8. Save it as UTF-8.")]
    NotText { path: String },
    #[error("The words in {path} cannot be read: {why}. Write one `key = \"word\"` on a line.")]
    Words { path: String, why: String },
    #[error("The words lack `{key}`. Add it to {path}; the shipped file has them all.")]
    MissingWord { key: String, path: String },
    #[error(
        "{path}, line {line}, column {column}: the script cannot be read: {why}. No page would run it. Mend it there."
    )]
    Script { path: String, line: usize, column: usize, why: String },
    #[error("These templates cannot be used:\n{0}")]
    Templates(String),
    #[error("The template {template} failed on {page}:\n{why}")]
    Page { template: String, page: String, why: String },
}

impl Theme {
    /// The shipped theme.
    ///
    /// # Errors
    /// Never, as long as the tests of the theme pass.
    pub fn shipped(language: &str) -> Result<Self, ThemeError> {
        Self::from_files(embedded(), language)
    }

    /// The interface words of the shipped theme, for what is measured before any page is made.
    ///
    /// # Errors
    /// Never, as long as the tests of the theme pass.
    pub(super) fn words_alone(language: &str) -> Result<Self, ThemeError> {
        let words = words_of(&embedded(), language)?;
        Ok(Self {
            tera: Tera::default(),
            words,
            search_words: serde_json::Map::new(),
            assets: BTreeMap::new(),
            search_script: Vec::new(),
            pages_script: String::new(),
        })
    }

    /// The shipped theme with the files of a folder in place of its own.
    ///
    /// # Errors
    /// All templates that cannot be used are named at once.
    pub fn with_folder(folder: &dyn Desk, language: &str) -> Result<Self, ThemeError> {
        let mut files = embedded();
        for path in folder.list().files {
            refuse_stray(&path)?;
            let bytes = folder.read(&path).map_err(|_| ThemeError::Unreadable { path: path.clone() })?;
            files.insert(path, bytes);
        }
        Self::from_files(files, language)
    }

    fn from_files(files: BTreeMap<String, Vec<u8>>, language: &str) -> Result<Self, ThemeError> {
        let words = words_of(&files, language)?;
        let search_words = search_words_of(&files, language)?;
        let tera = templates_of(&files)?;
        let small_script = |path: &str| Ok(small(path.to_owned(), text(&files, path)?.as_bytes().to_vec())?.1);
        let search_script = [READ_AHEAD, &small_script(SEARCH)?].concat();
        let pages_script = String::from_utf8_lossy(&small_script(PAGES_SCRIPT)?).into_owned();
        let mut assets = assets_of(files)?;
        assets.entry(JOINTS[0][0].to_owned()).and_modify(|script| *script = [READ_AHEAD, script].concat());
        Ok(Self { tera, words, search_words, assets, search_script, pages_script })
    }

    /// The interface word under a key; the key itself where it is missing.
    pub fn word<'t>(&'t self, key: &'t str) -> &'t str {
        self.words.get(key).map_or(key, String::as_str)
    }

    /// The interface words that a script of the theme names as a text of its own.
    pub(super) fn script_words(&self) -> Words {
        let scripts = self.assets.iter().filter(|(path, _)| path.ends_with(".js"));
        let texts: Vec<&str> = scripts.filter_map(|(_, bytes)| std::str::from_utf8(bytes).ok()).collect();
        let named: BTreeSet<&str> = texts.iter().flat_map(|text| text.split(['"', '\'', '`'])).collect();
        self.words.iter().filter(|(key, _)| named.contains(key.as_str())).map(|(k, v)| (k.clone(), v.clone())).collect()
    }

    /// The words of the search field.
    pub(super) fn search_words(&self) -> &serde_json::Map<String, serde_json::Value> {
        &self.search_words
    }

    /// The script that reads the search index.
    pub(super) fn search_script(&self) -> &[u8] {
        &self.search_script
    }

    /// Style and script, by path.
    pub fn assets(&self) -> &BTreeMap<String, Vec<u8>> {
        &self.assets
    }

    /// The script of a guide in one file.
    pub(super) fn pages_script(&self) -> &str {
        &self.pages_script
    }

    /// Gives every template what is the same on every page.
    pub(super) fn share(&mut self, guide: &impl Serialize) {
        let words = self.words.clone();
        let context = self.tera.global_context();
        context.insert("guide", guide);
        context.insert("w", &words);
    }

    /// Renders one page.
    pub(super) fn page(&self, template: &str, page: &str, context: &Context) -> Result<String, ThemeError> {
        self.tera.render(template, context).map_err(|error| ThemeError::Page {
            template: template.to_owned(),
            page: page.to_owned(),
            why: error.to_string(),
        })
    }
}

/// The scripts of a theme folder that are published as they are, too large or too deep to be made small.
pub fn left_as_they_are(folder: &dyn Desk) -> Vec<String> {
    let is_script = |path: &String| path.ends_with(".js") && !path.ends_with(".test.js");
    let is_left = |path: &String| {
        let bytes = folder.read(path).unwrap_or_default();
        std::str::from_utf8(&bytes).is_ok_and(minify::is_left)
    };
    folder.list().files.into_iter().filter(is_script).filter(is_left).collect()
}

fn embedded() -> BTreeMap<String, Vec<u8>> {
    let mut files = BTreeMap::new();
    let mut folders = vec![&EMBEDDED];
    while let Some(folder) = folders.pop() {
        folders.extend(folder.dirs());
        for file in folder.files() {
            let path = file.path().to_string_lossy().replace('\\', "/");
            files.insert(path, file.contents().to_vec());
        }
    }
    files
}

/// Refuses a file that looks as if it were part of the theme and lies where none is looked for.
fn refuse_stray(path: &str) -> Result<(), ThemeError> {
    if FOLDERS.iter().any(|(folder, _)| path.strip_prefix(folder).is_some_and(|rest| rest.starts_with('/'))) {
        return Ok(());
    }
    let ending = path.rsplit_once('.').map_or("", |(_, ending)| ending);
    match FOLDERS.iter().find(|(_, endings)| endings.contains(&ending)) {
        Some((folder, _)) => Err(ThemeError::Stray { path: path.to_owned(), folder }),
        None => Ok(()),
    }
}

/// What is published beside the pages: style and script made small, everything else as it is.
fn assets_of(files: BTreeMap<String, Vec<u8>>) -> Result<BTreeMap<String, Vec<u8>>, ThemeError> {
    let joints = JOINTS.iter().map(|paths| joint_of(&files, paths)).collect::<Result<Vec<_>, _>>()?;
    let published = files.into_iter().filter(|(path, _)| PUBLISHED.iter().any(|folder| path.starts_with(folder)));
    let alone = published.filter(|(path, _)| !is_held_back(path));
    alone.chain(joints).map(|(path, bytes)| small(path, bytes)).collect()
}

fn is_held_back(path: &str) -> bool {
    let is_joined = JOINTS.iter().any(|paths| paths.contains(&path));
    path.ends_with(".test.js") || path == OWN_NAMES || path == SEARCH || is_joined
}

/// Scripts as one, under the path of the first.
fn joint_of(files: &BTreeMap<String, Vec<u8>>, paths: &[&str]) -> Result<(String, Vec<u8>), ThemeError> {
    let scripts = paths.iter().map(|path| text(files, path)).collect::<Result<Vec<_>, _>>()?;
    let joint = minify::joined(&scripts).map_err(|(place, error)| not_read(paths[place], error))?;
    // Only there are these names known to nobody else.
    let joint = if paths.contains(&WORK) {
        let own = text(files, OWN_NAMES)?.lines().filter(|line| !line.starts_with('#') && !line.is_empty()).collect();
        minify::own_names_short(&joint, &own)
    } else {
        joint
    };
    Ok((paths[0].to_owned(), joint.into_bytes()))
}

fn not_read(path: &str, ScriptError { line, column, why }: ScriptError) -> ThemeError {
    ThemeError::Script { path: path.to_owned(), line, column, why }
}

fn small(path: String, bytes: Vec<u8>) -> Result<(String, Vec<u8>), ThemeError> {
    let small = match path.rsplit('.').next() {
        Some("js") => minify::script(as_text(&bytes, &path)?).map_err(|error| not_read(&path, error))?,
        Some("css") => minify::style(as_text(&bytes, &path)?),
        _ => return Ok((path, bytes)),
    };
    Ok((path, small.into_bytes()))
}

fn text<'f>(files: &'f BTreeMap<String, Vec<u8>>, path: &str) -> Result<&'f str, ThemeError> {
    let bytes = files.get(path).map(Vec::as_slice).unwrap_or_default();
    as_text(bytes, path)
}

fn as_text<'b>(bytes: &'b [u8], path: &str) -> Result<&'b str, ThemeError> {
    std::str::from_utf8(bytes).map_err(|_| ThemeError::NotText { path: path.to_owned() })
}

/// The words of a language; a language without a file has the English ones.
fn words_of(files: &BTreeMap<String, Vec<u8>>, language: &str) -> Result<Words, ThemeError> {
    const ENGLISH: &str = "words/en.toml";
    let own = format!("words/{}.toml", language.split('-').next().unwrap_or("en"));
    let path = if files.contains_key(&own) { own.as_str() } else { ENGLISH };
    let parse = |path: &str, text: &str| {
        toml::from_str::<Words>(text)
            .map_err(|error| ThemeError::Words { path: path.to_owned(), why: error.message().to_owned() })
    };
    let words = parse(path, text(files, path)?)?;
    let needed = parse(ENGLISH, EMBEDDED.get_file(ENGLISH).and_then(|file| file.contents_utf8()).unwrap_or(""))?;
    match needed.keys().find(|key| !words.contains_key(*key)) {
        Some(key) => Err(ThemeError::MissingWord { key: key.clone(), path: path.to_owned() }),
        None => Ok(words),
    }
}

fn search_words_of(
    files: &BTreeMap<String, Vec<u8>>,
    language: &str,
) -> Result<serde_json::Map<String, serde_json::Value>, ThemeError> {
    let own = format!("words/search.{}.json", language.split('-').next().unwrap_or("en"));
    let path = if files.contains_key(&own) { own.as_str() } else { "words/search.en.json" };
    let wrong = |error: serde_json::Error| ThemeError::Words { path: path.to_owned(), why: error.to_string() };
    serde_json::from_str(text(files, path)?).map_err(wrong)
}

/// Loads templates one at a time, so that every broken one is named.
fn templates_of(files: &BTreeMap<String, Vec<u8>>) -> Result<Tera, ThemeError> {
    let mut tera = Tera::default();
    let names: Vec<&str> = files.keys().filter_map(|path| path.strip_prefix("templates/")).collect();
    let (first, others): (Vec<&str>, Vec<&str>) = names.into_iter().partition(|name| BEFORE_OTHERS.contains(name));
    let order = BEFORE_OTHERS.into_iter().filter(|name| first.contains(name)).chain(others);
    let mut wrong = Vec::new();
    for name in order {
        let text = text(files, &format!("templates/{name}"))?;
        if let Err(error) = tera.add_raw_template(name, text) {
            wrong.push(error.to_string());
        }
    }
    if wrong.is_empty() { Ok(tera) } else { Err(ThemeError::Templates(wrong.join("\n"))) }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::desk::MemoryDesk;

    fn told(path: &str, text: &str) -> String {
        let desk = MemoryDesk::new().with(path, text);
        Theme::with_folder(&desk, "en").err().map(|error| error.to_string()).unwrap_or_default()
    }

    #[test]
    fn a_mistake_in_a_theme_is_told_with_its_place() {
        assert_eq!(told("style/own.css", "p{"), "");
        let script = told("script/own.js", "var a = 1;\nvar b = ;\n");
        assert!(script.starts_with("script/own.js, line 2, column 9: the script cannot be read: "), "{script}");
        assert!(told("own.css", "").contains("Move it into style/"));
        assert_eq!(told("README.txt", ""), "");
        assert!(told("templates/fault.html", "{% block %}").contains("fault.html"));
        assert!(told("words/en.toml", "a = \"b\"").starts_with("The words lack `"));
    }
}
