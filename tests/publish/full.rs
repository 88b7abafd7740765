//! No room left, a file system that cannot be written, a mount point as output.
#![cfg(target_os = "linux")]

use std::{
    path::PathBuf,
    process::{Command, Output},
};

use bayleaf::publish::{Pages, publish};

use crate::mounts;

use super::{Bench, assert_whole, contents, edition, names, text};

const FOLDER: &str = "BAYLEAF_TEST_FOLDER";
const BYTES: &str = "BAYLEAF_TEST_BYTES";

/// Publishes pages of `BYTES` bytes altogether and prints what came of it.
#[test]
#[ignore = "plays a process of its own; only has work when another test starts it"]
fn publisher_of_bytes() {
    let Some(folder) = std::env::var_os(FOLDER).map(PathBuf::from) else { return };
    let bytes: usize = std::env::var(BYTES).unwrap().parse().unwrap();
    let mut pages = Pages::new();
    for number in 0..20 {
        let filler = vec![b'a' + number; bytes / 20];
        pages.insert(&format!("page-{number}.html"), filler).unwrap();
    }
    match publish(&pages, &folder.join("site"), &folder.join("guide")) {
        Ok(summary) => println!("\npublished {}", summary.written),
        Err(error) => println!("\nrefused {error}\n{error:?}"),
    }
}

/// Runs shell lines in the bench's folder where mounts are private; there `run BYTES` starts the publisher above.
fn in_own_mounts(bench: &Bench, lines: &str) -> Option<Output> {
    let run = "run() { BAYLEAF_TEST_BYTES=$1 \"$SELF\" --ignored --exact --nocapture --quiet \
               publish::full::publisher_of_bytes; }\n";
    let this = std::env::current_exe().unwrap();
    let environment = [("SELF", this.to_str().unwrap()), (FOLDER, bench.dir.path().to_str().unwrap())];
    mounts::in_own_mounts(bench.dir.path(), &format!("{run}{lines}"), &environment)
}

#[test]
fn a_full_disk_leaves_the_old_pages_and_no_staging() {
    let bench = Bench::new();
    let lines = "mount -t tmpfs -o size=1m none .\ncd \"$PWD\"\nmkdir guide\n\
                 run 200000\nrun 2000000\n\
                 list\ncd site\nsha256sum --check --strict --quiet SHA256SUMS && echo whole\ncat page-3.html | wc -c\n\
                 cd ..\nrun 300000\nlist\ncd site\nsha256sum --check --strict --quiet SHA256SUMS && echo whole again";
    let Some(output) = in_own_mounts(&bench, lines) else { return };
    let told = text(&output.stdout);
    assert!(told.contains("published 22"), "{told}");
    assert!(told.contains("there is no room left") && told.contains("Full {"), "{told}");
    assert!(told.contains("[guide site ]\nwhole\n10000\n"), "{told}");
    assert!(told.contains("published 21\n") && told.contains("[guide site ]\nwhole again"), "{told}");
}

#[test]
fn no_inodes_left_is_a_full_disk_too() {
    let bench = Bench::new();
    // Root folder, guide, site and its 22 files fit; a second set of files beside them does not.
    let lines = "mount -t tmpfs -o nr_inodes=40 none .\ncd \"$PWD\"\nmkdir guide\nrun 20\nrun 40\n\
                 list\ncd site\nsha256sum --check --strict --quiet SHA256SUMS && echo whole";
    let Some(output) = in_own_mounts(&bench, lines) else { return };
    let told = text(&output.stdout);
    assert!(told.contains("published 22") && told.contains("Full {"), "{told}");
    assert!(told.contains("[guide site ]\nwhole"), "{told}");
}

#[test]
fn a_mount_point_is_told() {
    let bench = Bench::new();
    let lines = "mkdir site bound\nmount -t tmpfs none site\nrun 20\nlist site\numount site\n\
                 mount --bind bound site\nrun 20\nlist";
    let Some(output) = in_own_mounts(&bench, lines) else { return };
    let told = text(&output.stdout);
    // Of a folder bound in from the same file system only the exchange itself finds out.
    assert_eq!(told.matches("is a mount point").count(), 2, "{told}");
    assert!(told.contains("[]\n") && told.ends_with("[bound guide site ]\n"), "{told}");
    assert!(!told.contains("published"), "{told}");
}

#[test]
fn a_read_only_file_system_is_told() {
    let bench = Bench::new();
    let lines = "mount -t tmpfs none .\ncd \"$PWD\"\nmkdir guide\nrun 20\nmount -o remount,ro none .\nrun 40\nlist";
    let Some(output) = in_own_mounts(&bench, lines) else { return };
    let told = text(&output.stdout);
    assert!(told.contains("published 22") && told.contains("ReadOnly {"), "{told}");
    assert!(told.ends_with("[guide site ]\n"), "{told}");
}

/// Needs no privileges: the system stops every file at 8 blocks of 512 or 1024 bytes.
#[test]
fn a_file_cut_short_by_a_limit_leaves_the_old_pages_and_no_staging() {
    let bench = Bench::new();
    bench.publish_well(&edition(1, 20));
    let before = contents(&bench.site());
    let script = "trap '' XFSZ\nulimit -f 8\nexec \"$SELF\" --ignored --exact --nocapture --quiet \
                  publish::full::publisher_of_bytes | cat";
    let mut command = Command::new("sh");
    command.args(["-c", script]).env("SELF", std::env::current_exe().unwrap());
    let output = command.env(FOLDER, bench.dir.path()).env(BYTES, "400000").output().unwrap();
    let told = text(&output.stdout);
    assert!(told.contains("Full {"), "{told}{}", text(&output.stderr));
    assert_eq!(contents(&bench.site()), before);
    assert_eq!(names(bench.dir.path()), ["guide", "site"]);
    assert_whole(&bench.site());
}
