//! Tests of the ways round what a file system cannot do, and of what an interrupted run leaves.

#![allow(clippy::disallowed_methods, reason = "tests lay out folders")]

use std::{
    collections::BTreeMap,
    fs::{self, File},
    time::SystemTime,
};

use tempfile::TempDir;

use super::*;

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

    fn publish(&self, means: Means, pages: &[(&str, &str)]) -> Result<Summary, PublishError> {
        let mut all = Pages::new();
        pages.iter().for_each(|(path, text)| all.insert(path, *text).unwrap());
        publish_by(means, &all, &self.path("site"), &self.path("guide"))
    }

    fn site(&self) -> BTreeMap<String, String> {
        let files = Survey::take(&self.path("site")).unwrap().files;
        let pages = files.into_keys().filter(|path| path != SUMS && path != crate::desk::OUTPUT_MARKER);
        pages.map(|path| (path.clone(), fs::read_to_string(self.path("site").join(path)).unwrap())).collect()
    }

    fn beside(&self) -> Vec<String> {
        let names = fs::read_dir(self.dir.path()).unwrap().map(|entry| entry.unwrap().file_name());
        let mut names: Vec<_> = names.map(|name| name.into_string().unwrap()).collect();
        names.sort();
        names
    }
}

fn pages(list: &[(&str, &str)]) -> BTreeMap<String, String> {
    list.iter().map(|(path, text)| ((*path).to_owned(), (*text).to_owned())).collect()
}

const FIRST: &[(&str, &str)] = &[("a.html", "one"), ("b/c.html", "two"), ("b/d.html", "three")];
const SECOND: &[(&str, &str)] = &[("a.html", "one"), ("b/c.html", "2"), ("e/f.html", "four")];

#[test]
fn every_mixture_of_means_gives_the_same_folder() {
    for (links, exchange) in [(true, true), (true, false), (false, true), (false, false)] {
        let bench = Bench::new();
        let means = Means { links, exchange, ..Means::default() };
        let first = bench.publish(means, FIRST).unwrap();
        assert_eq!((first.written, first.kept), (5, 0));
        let second = bench.publish(means, SECOND).unwrap();
        assert_eq!(second, Summary { written: 3, kept: 2, removed: vec!["b/d.html".into()], leftover: None });
        assert_eq!(bench.site(), pages(SECOND), "{means:?}");
        assert_eq!(bench.beside(), ["guide", "site"]);
    }
}

#[test]
fn copies_keep_the_time_of_the_original() {
    let bench = Bench::new();
    let means = Means { links: false, ..Means::default() };
    bench.publish(means, FIRST).unwrap();
    let long_ago = SystemTime::UNIX_EPOCH + Duration::from_secs(1_000_000_000);
    File::open(bench.path("site/a.html")).unwrap().set_modified(long_ago).unwrap();
    bench.publish(means, SECOND).unwrap();
    assert_eq!(fs::metadata(bench.path("site/a.html")).unwrap().modified().unwrap(), long_ago);
}

#[test]
fn an_exchange_killed_between_its_two_steps_is_undone_first() {
    let bench = Bench::new();
    bench.publish(Means::default(), FIRST).unwrap();
    let work = bench.path(".site.bayleaf-staging");
    fs::create_dir(&work).unwrap();
    fs::write(work.join("staging.lock"), "").unwrap();
    fs::rename(bench.path("site"), work.join("old")).unwrap();
    fs::create_dir(work.join("next")).unwrap();
    fs::write(work.join("next/half.html"), "ha").unwrap();

    prepare(&bench.path("site"), &bench.path("guide")).unwrap();
    assert_eq!(bench.site(), pages(FIRST));
    assert_eq!(bench.beside(), ["guide", "site"]);
}

#[test]
fn leavings_are_removed_even_when_nothing_has_changed() {
    let bench = Bench::new();
    bench.publish(Means::default(), FIRST).unwrap();
    let work = bench.path(".site.bayleaf-staging");
    for left in ["next/b", "old/x/y"] {
        fs::create_dir_all(work.join(left)).unwrap();
    }
    fs::write(work.join("staging.lock"), "").unwrap();
    let summary = bench.publish(Means::default(), FIRST).unwrap();
    assert_eq!(summary, Summary { kept: 5, ..Summary::default() });
    assert_eq!(bench.beside(), ["guide", "site"]);
}

#[test]
fn a_folder_with_the_staging_name_that_is_not_ours_is_left_alone() {
    let bench = Bench::new();
    fs::create_dir(bench.path(".site.bayleaf-staging")).unwrap();
    fs::write(bench.path(".site.bayleaf-staging/mine"), "keep").unwrap();
    let error = bench.publish(Means::default(), FIRST).unwrap_err();
    assert!(matches!(error, PublishError::StagingTaken { .. }), "{error}");
    assert_eq!(fs::read_to_string(bench.path(".site.bayleaf-staging/mine")).unwrap(), "keep");
    assert!(!bench.path("site").exists());
}

#[test]
fn a_second_run_waits_and_then_gives_up() {
    let bench = Bench::new();
    let destination = Destination::find(&bench.path("site"), &bench.path("guide")).unwrap();
    let held = Staging::claim(&destination, Duration::ZERO).unwrap();
    let means = Means { wait: Duration::from_millis(60), ..Means::default() };
    prepare(&bench.path("site"), &bench.path("guide")).unwrap();
    let error = bench.publish(means, FIRST).unwrap_err();
    assert!(matches!(error, PublishError::Busy { .. }), "{error}");
    assert_eq!(held.finish(), None);
    bench.publish(means, FIRST).unwrap();
}

#[test]
fn a_failure_in_the_middle_leaves_the_old_pages_and_no_staging() {
    let bench = Bench::new();
    bench.publish(Means::default(), FIRST).unwrap();
    // A name of 255 bytes fits, but not below a path that is over the system's length.
    let deep = vec!["d".repeat(250); 20].join("/");
    let error = bench.publish(Means::default(), &[("a.html", "new"), (&deep, "x")]).unwrap_err();
    assert!(matches!(error, PublishError::System { .. }), "{error}");
    assert_eq!(bench.site(), pages(FIRST));
    assert_eq!(bench.beside(), ["guide", "site"]);
}

#[test]
fn an_exchange_that_breaks_in_the_middle_is_undone() {
    let bench = Bench::new();
    bench.publish(Means::default(), FIRST).unwrap();
    let destination = Destination::find(&bench.path("site"), &bench.path("guide")).unwrap();
    let staging = Staging::claim(&destination, Duration::ZERO).unwrap();
    // Without new pages the first step succeeds and the second fails.
    let means = Means { exchange: false, ..Means::default() };
    let error = exchange::exchange(&staging, &destination, true, means).unwrap_err();
    assert!(matches!(error, PublishError::System { .. }), "{error}");
    assert_eq!(bench.site(), pages(FIRST));
    drop(staging);
    assert_eq!(bench.beside(), ["guide", "site"]);
}
