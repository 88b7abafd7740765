//! The whole program over the guide in `content/`: what is published, seen as files, as HTML and in a browser.

mod browser;
mod bytes;
mod content;
mod crossed;
mod full;
mod killed;
mod large;
mod links;
mod markup;
mod one_file;
mod page;
mod pairs;
mod records;
mod says;
mod walk;

use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
    process::{Command, Output},
    sync::LazyLock,
};

use crate::publish::{assert_whole, contents, text};
use page::Page;

/// The guide that the repository holds, published once for all tests.
static DEMO: LazyLock<Site> = LazyLock::new(|| {
    // Not in the temporary folder of the system: a shared value is never dropped, so nothing would remove it.
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("demo-site");
    if folder.exists() {
        fs::remove_dir_all(&folder).unwrap();
    }
    let output = compile(&guide(), &folder).output().unwrap();
    assert!(output.status.success(), "{}{}", text(&output.stdout), text(&output.stderr));
    Site::read(folder)
});

struct Site {
    folder: PathBuf,
    files: BTreeMap<String, Vec<u8>>,
    pages: BTreeMap<String, Page>,
}

impl Site {
    fn read(folder: PathBuf) -> Self {
        let files = contents(&folder);
        let html = files.iter().filter(|(path, _)| path.ends_with(".html"));
        let pages = html.map(|(path, bytes)| (path.clone(), Page::parse(path, std::str::from_utf8(bytes).unwrap())));
        Self { pages: pages.collect(), folder, files }
    }
}

fn guide() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("content")
}

fn compile(guide: &Path, out: &Path) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_bayleaf"));
    command.arg("compile").arg(guide).arg("--out").arg(out);
    command
}

fn run(mut command: Command) -> Output {
    command.output().unwrap()
}

/// A copy of a guide, its files laid in the given order; `change` may replace a file's text.
fn copy_guide(from: &Path, to: &Path, backwards: bool, change: impl Fn(&str, String) -> String) {
    let mut files: Vec<_> = contents(from).into_iter().collect();
    if backwards {
        files.reverse();
    }
    for (path, bytes) in files {
        let bytes = String::from_utf8(bytes).map_or_else(|error| error.into_bytes(), |text| change(&path, text).into());
        fs::create_dir_all(to.join(&path).parent().unwrap()).unwrap();
        fs::write(to.join(&path), bytes).unwrap();
    }
}

/// A copy of the guide that is one edition further, so that every page differs, with one page less.
fn next_edition(to: &Path) {
    copy_guide(&guide(), to, false, |path, text| {
        if path != "guide.toml" {
            return text;
        }
        let next = text.replacen("edition = \"", "edition = \"after ", 1);
        assert_ne!(next, text, "the guide names no edition");
        next
    });
}

/// Asserts that nothing was gathered, and shows what was.
fn assert_none(what: &str, found: &[String]) {
    let first: Vec<_> = found.iter().take(40).map(String::as_str).collect();
    assert!(found.is_empty(), "{what}: {} places\n{}", found.len(), first.join("\n"));
}

#[test]
fn sha256sum_accepts_every_file() {
    assert_whole(&DEMO.folder);
}

#[test]
fn inspection_finds_nothing_in_the_guide() {
    let mut command = Command::new(env!("CARGO_BIN_EXE_bayleaf"));
    command.arg("inspect").arg(guide());
    let output = run(command);
    assert_eq!(output.status.code(), Some(0), "{}", text(&output.stdout));
    assert!(!text(&output.stdout).contains("error"), "{}", text(&output.stdout));
}
