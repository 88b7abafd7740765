//! Publishing as seen from outside: what is in the folder afterwards, whatever happens meanwhile.

mod concurrent;
mod full;
mod killed;
mod refusals;
mod replacing;

use std::{
    collections::BTreeMap,
    fs,
    path::{Path, PathBuf},
    process::Command,
};

use bayleaf::publish::{Pages, PublishError, SUMS, Summary, publish};
use tempfile::TempDir;

/// An empty guide folder, and room beside it for the output folder `site`.
struct Bench {
    dir: TempDir,
}

impl Bench {
    fn new() -> Self {
        let dir = TempDir::new().unwrap();
        fs::create_dir(dir.path().join("guide")).unwrap();
        Self { dir }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.dir.path().join(name)
    }

    fn site(&self) -> PathBuf {
        self.path("site")
    }

    fn publish(&self, pages: &Pages) -> Result<Summary, PublishError> {
        publish(pages, &self.site(), &self.path("guide"))
    }

    /// Publishes and asserts that nothing but guide and site is there afterwards.
    fn publish_well(&self, pages: &Pages) -> Summary {
        let summary = self.publish(pages).unwrap();
        assert_eq!(summary.leftover, None);
        assert_eq!(names(self.dir.path()), ["guide", "site"]);
        assert_whole(&self.site());
        summary
    }
}

fn pages(list: &[(&str, &str)]) -> Pages {
    let mut pages = Pages::new();
    list.iter().for_each(|(path, text)| pages.insert(path, *text).unwrap());
    pages
}

/// `count` pages in folders of ten; every third differs between editions, and one in ten exists in one edition only.
fn edition(edition: usize, count: usize) -> Pages {
    let mut pages = Pages::new();
    for number in (0..count).filter(|number| number % 10 != edition % 10) {
        let variant = if number % 3 == 0 { edition } else { 0 };
        let text = format!("edition {variant}, page {number}\n").repeat(40);
        pages.insert(&format!("folder-{}/page-{number}.html", number / 10), text).unwrap();
    }
    pages
}

/// The sorted names in a folder.
pub fn names(folder: &Path) -> Vec<String> {
    let mut names: Vec<_> =
        fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.sort();
    names
}

/// Every file below a folder, by relative path, with its bytes; of a link, where it points.
pub fn contents(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let mut found = BTreeMap::new();
    for name in names(folder) {
        let path = folder.join(&name);
        let kind = fs::symlink_metadata(&path).unwrap().file_type();
        if kind.is_symlink() {
            found.insert(name, fs::read_link(&path).unwrap().into_os_string().into_encoded_bytes());
        } else if kind.is_dir() {
            found.extend(contents(&path).into_iter().map(|(below, bytes)| (format!("{name}/{below}"), bytes)));
        } else {
            found.insert(name, fs::read(&path).unwrap());
        }
    }
    found
}

/// Asserts that `sha256sum -c` of the system accepts every file, and that no file is without a checksum.
pub fn assert_whole(site: &Path) {
    let check = Command::new("sha256sum").args(["--check", "--strict", "--quiet", SUMS]).current_dir(site).output();
    let check = check.expect("these tests need sha256sum (GNU coreutils) on the search path");
    assert!(check.status.success(), "{}{}", text(&check.stdout), text(&check.stderr));
    let sums = fs::read_to_string(site.join(SUMS)).unwrap();
    let listed: Vec<&str> = sums.lines().map(|line| line.split_once("  ").unwrap().1).collect();
    let tracked = |path: &&String| !path.ends_with(".gitignore") && !path.ends_with(".gitkeep");
    let there = contents(site).into_keys().filter(|path| path != SUMS).filter(|path| tracked(&path));
    assert_eq!(listed, there.collect::<Vec<_>>());
}

pub fn text(bytes: &[u8]) -> String {
    String::from_utf8_lossy(bytes).into_owned()
}

/// A command that runs one ignored test of this binary, which plays a process of its own.
fn child(test: &str) -> Command {
    let mut command = Command::new(std::env::current_exe().unwrap());
    command.args(["--ignored", "--exact", "--nocapture", "--quiet", test]);
    command
}
