//! What stays, what goes, and what is made anew.

use std::{collections::BTreeMap, fs, path::Path};

use bayleaf::publish::{Pages, SUMS};

use super::{Bench, assert_whole, contents, edition, pages};

#[cfg(unix)]
fn inode_and_time(path: &Path) -> (u64, std::time::SystemTime) {
    use std::os::unix::fs::MetadataExt;
    let found = fs::metadata(path).unwrap();
    (found.ino(), found.modified().unwrap())
}

#[test]
#[cfg(unix)]
fn unchanged_files_keep_inode_and_time() {
    let bench = Bench::new();
    bench.publish_well(&pages(&[("same.html", "x"), ("a/changes.html", "y"), ("a/goes.html", "z")]));
    let before = inode_and_time(&bench.site().join("same.html"));
    let changed_before = inode_and_time(&bench.site().join("a/changes.html"));
    let summary = bench.publish_well(&pages(&[("same.html", "x"), ("a/changes.html", "Y"), ("b/new.html", "n")]));
    assert_eq!(inode_and_time(&bench.site().join("same.html")), before);
    assert_ne!(inode_and_time(&bench.site().join("a/changes.html")).0, changed_before.0);
    // The marker and same.html stay; the checksums change with the pages.
    assert_eq!((summary.written, summary.kept, summary.removed), (3, 2, vec!["a/goes.html".to_owned()]));
}

#[test]
#[cfg(unix)]
fn the_same_pages_again_touch_nothing() {
    let bench = Bench::new();
    bench.publish_well(&edition(1, 30));
    let before = inode_and_time(&bench.site());
    let summary = bench.publish_well(&edition(1, 30));
    assert_eq!((summary.written, summary.removed.len()), (0, 0));
    assert_eq!(inode_and_time(&bench.site()), before);
}

#[test]
fn stale_files_and_folders_go() {
    let bench = Bench::new();
    bench.publish_well(&pages(&[("a/b/c.html", "1"), ("d.html", "2")]));
    fs::write(bench.site().join("a/dropped-in.txt"), "foreign").unwrap();
    fs::create_dir_all(bench.site().join("empty/below")).unwrap();
    let summary = bench.publish_well(&pages(&[("d.html", "2")]));
    assert_eq!(summary.removed, ["a/b/c.html", "a/dropped-in.txt"]);
    assert!(!bench.site().join("a").exists() && !bench.site().join("empty").exists());
    fs::create_dir(bench.site().join("empty")).unwrap();
    bench.publish_well(&pages(&[("d.html", "2")]));
    assert!(!bench.site().join("empty").exists());
}

#[test]
fn a_page_may_become_a_folder_and_back() {
    let bench = Bench::new();
    for list in [[("a", "file")], [("a/b", "below")], [("a", "file")]] {
        bench.publish_well(&pages(&list));
    }
}

#[test]
fn damage_in_the_output_is_made_good() {
    let bench = Bench::new();
    bench.publish_well(&pages(&[("a.html", "sound"), ("b.html", "sound")]));
    fs::write(bench.site().join("a.html"), "SOUND").unwrap();
    fs::remove_file(bench.site().join("b.html")).unwrap();
    let summary = bench.publish_well(&pages(&[("a.html", "sound"), ("b.html", "sound")]));
    assert_eq!((summary.written, summary.kept), (2, 2));
}

#[test]
fn tracked_ignore_files_survive() {
    let bench = Bench::new();
    fs::create_dir_all(bench.site().join("deep/er")).unwrap();
    fs::write(bench.site().join(".gitignore"), "*\n!.gitignore\n").unwrap();
    fs::write(bench.site().join("deep/er/.gitkeep"), "").unwrap();
    for edition_number in 1..4 {
        let summary = bench.publish_well(&edition(edition_number, 20));
        assert!(summary.removed.iter().all(|path| path.starts_with("folder-")), "{:?}", summary.removed);
        assert_eq!(fs::read_to_string(bench.site().join(".gitignore")).unwrap(), "*\n!.gitignore\n");
        assert!(bench.site().join("deep/er/.gitkeep").is_file());
    }
    // A page that takes the name of the kept file's folder wins.
    bench.publish_well(&pages(&[("deep", "page")]));
}

#[test]
#[cfg(unix)]
fn the_folder_keeps_its_mode_and_new_ones_follow_the_umask() {
    use std::os::unix::fs::PermissionsExt;
    let mode = |path: &Path| fs::metadata(path).unwrap().permissions().mode() & 0o7777;
    let bench = Bench::new();
    let plain = bench.path("plain");
    fs::create_dir(&plain).unwrap();
    let by_umask = mode(&plain);
    fs::remove_dir(&plain).unwrap();
    bench.publish_well(&edition(1, 20));
    assert_eq!((mode(&bench.site()), mode(&bench.site().join("folder-0"))), (by_umask, by_umask));
    fs::set_permissions(bench.site(), fs::Permissions::from_mode(0o2750)).unwrap();
    bench.publish_well(&edition(2, 20));
    assert_eq!(mode(&bench.site()), 0o2750);
}

#[test]
fn one_thread_and_two_give_the_same_bytes() {
    let publish_on = |threads: usize| {
        let bench = Bench::new();
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        pool.install(|| bench.publish_well(&edition(1, 200)));
        pool.install(|| bench.publish_well(&edition(2, 200)));
        contents(&bench.site())
    };
    assert_eq!(publish_on(1), publish_on(2));
}

#[test]
fn the_order_of_adding_pages_does_not_matter() {
    let list = [("b.html", "1"), ("a/z.html", "2"), ("a.html", "3")];
    let mut turned = list;
    turned.reverse();
    let published = [list, turned].map(|list| {
        let bench = Bench::new();
        bench.publish_well(&pages(&list));
        contents(&bench.site())
    });
    assert_eq!(published[0], published[1]);
}

#[test]
fn a_damaged_file_fails_the_outside_check() {
    let bench = Bench::new();
    bench.publish_well(&pages(&[("a.html", "sound")]));
    fs::write(bench.site().join("a.html"), "SOUND").unwrap();
    let site = bench.site();
    assert!(std::panic::catch_unwind(|| assert_whole(&site)).is_err());
}

proptest::proptest! {
    #![proptest_config(proptest::test_runner::Config { cases: 64, failure_persistence: None, ..Default::default() })]

    /// Whatever paths are asked for: those taken are published under just that path, and nothing lands elsewhere.
    #[test]
    fn only_what_was_taken_is_published(asked in proptest::collection::vec("[abAé.~ -]{0,3}(/[ab.A]{1,2}){0,3}|\\PC{0,9}", 0..12)) {
        let (mut taken, mut expected) = (Pages::new(), BTreeMap::new());
        for path in asked {
            if taken.insert(&path, path.as_bytes()).is_ok() {
                expected.insert(path.clone(), path.into_bytes());
            }
        }
        let bench = Bench::new();
        bench.publish_well(&taken);
        let mut found = contents(&bench.site());
        found.retain(|path, _| path != SUMS && path != ".bayleaf-output");
        assert_eq!(found, expected);
    }
}
