//! Several runs for the same folder at once.

use std::{
    fs,
    path::PathBuf,
    process::Stdio,
    sync::atomic::{AtomicBool, Ordering},
    thread,
};

use bayleaf::publish::publish;

use super::{Bench, assert_whole, child, contents, edition, names};

const FOLDER: &str = "BAYLEAF_TEST_FOLDER";
const EDITION: &str = "BAYLEAF_TEST_EDITION";

#[test]
#[ignore = "plays one of several processes; only has work when another test starts it"]
fn publisher_of_ten() {
    let Some(folder) = std::env::var_os(FOLDER).map(PathBuf::from) else { return };
    let number: usize = std::env::var(EDITION).unwrap().parse().unwrap();
    for turn in 0..10 {
        publish(&edition(number + turn % 2, 40), &folder.join("site"), &folder.join("guide")).unwrap();
    }
}

#[test]
fn processes_take_turns() {
    let bench = Bench::new();
    bench.publish_well(&edition(1, 40));
    let start = |number: usize| {
        let mut command = child("publish::concurrent::publisher_of_ten");
        command.env(FOLDER, bench.dir.path()).env(EDITION, number.to_string());
        command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap()
    };
    for publisher in [1, 3, 5].map(start) {
        let output = publisher.wait_with_output().unwrap();
        assert!(output.status.success(), "{}", super::text(&output.stderr));
    }
    assert_eq!(names(bench.dir.path()), ["guide", "site"]);
    assert_whole(&bench.site());
    let found = contents(&bench.site());
    assert!((1..=6).any(|number| pages_of(number).all(|(path, bytes)| found.get(&path) == Some(&bytes))));
}

#[test]
fn threads_take_turns() {
    let bench = Bench::new();
    thread::scope(|scope| {
        for number in 1..5 {
            let bench = &bench;
            scope.spawn(move || {
                (0..5).for_each(|_| assert_eq!(bench.publish(&edition(number, 40)).unwrap().leftover, None))
            });
        }
    });
    assert_eq!(names(bench.dir.path()), ["guide", "site"]);
    assert_whole(&bench.site());
}

/// Somebody who reads while publications go on finds the page every time: there is no moment without it.
#[test]
#[cfg(target_os = "linux")]
fn a_reader_never_finds_the_folder_missing() {
    let bench = Bench::new();
    bench.publish_well(&edition(1, 20));
    let page = bench.site().join("folder-0/page-5.html");
    let expected = fs::read(&page).unwrap();
    let done = AtomicBool::new(false);
    let reads = thread::scope(|scope| {
        let reader = scope.spawn(|| {
            let mut reads = 0;
            while !done.load(Ordering::Relaxed) {
                assert_eq!(fs::read(&page).expect("the page is missing"), expected);
                reads += 1;
            }
            reads
        });
        (0..300).for_each(|turn| assert_eq!(bench.publish(&edition(1 + turn % 2, 20)).unwrap().leftover, None));
        done.store(true, Ordering::Relaxed);
        reader.join().unwrap()
    });
    assert!(reads > 3000, "only {reads} reads");
}

fn pages_of(number: usize) -> impl Iterator<Item = (String, Vec<u8>)> {
    let pages = edition(number, 40);
    let owned: Vec<_> = pages.iter().map(|(path, bytes)| (path.clone(), bytes.clone())).collect();
    owned.into_iter()
}
