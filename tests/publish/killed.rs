//! Killed without warning at 200 moments, the folder holds one whole edition.

use std::{
    collections::BTreeMap,
    fs,
    io::{BufRead, BufReader},
    path::PathBuf,
    process::{Child, Stdio},
    thread,
    time::Duration,
};

use bayleaf::publish::publish;

use super::{Bench, assert_whole, child, contents, edition, names};

const FOLDER: &str = "BAYLEAF_TEST_FOLDER";
const COUNT: usize = 60;
const MOMENTS: u64 = 200;

#[test]
#[ignore = "plays the process that is killed; only has work when another test starts it"]
fn publisher_without_end() {
    let Some(folder) = std::env::var_os(FOLDER).map(PathBuf::from) else { return };
    let editions = [edition(1, COUNT), edition(2, COUNT)];
    println!("\nready");
    for pages in editions.iter().cycle() {
        publish(pages, &folder.join("site"), &folder.join("guide")).unwrap();
    }
}

#[test]
fn a_kill_at_any_of_200_moments_leaves_one_whole_edition() {
    let bench = Bench::new();
    let editions = [1, 2].map(whole);
    bench.publish_well(&edition(1, COUNT));
    let (mut seen, mut half_done) = ([0, 0], 0);
    for moment in 0..MOMENTS {
        // Steps of 0.13 ms over somewhat more than two publications, which take some 10 ms each.
        kill_after(&bench, Duration::from_micros(moment * 130));
        let found = contents(&bench.site());
        let which = editions.iter().position(|edition| *edition == found);
        let which = which.unwrap_or_else(|| panic!("moment {moment}: neither edition, but {:?}", found.keys()));
        seen[which] += 1;
        assert_whole(&bench.site());
        half_done += usize::from(names(bench.dir.path()).len() == 3);
        assert!(
            names(bench.dir.path()).iter().all(|name| name.ends_with("site") || name == "guide" || is_staging(name))
        );
    }
    println!("first edition {}, second {}, staging left behind {half_done}", seen[0], seen[1]);
    assert!(seen[0] > 0 && seen[1] > 0, "every kill met the same edition, so none came near an exchange: {seen:?}");
    assert!(half_done > 20, "only {half_done} kills met a publication in the middle");
    bench.publish_well(&edition(3, COUNT));
}

fn is_staging(name: &str) -> bool {
    name == ".site.bayleaf-staging"
}

/// What the folder holds after a publication that nothing disturbs.
fn whole(number: usize) -> BTreeMap<String, Vec<u8>> {
    let bench = Bench::new();
    bench.publish_well(&edition(number, COUNT));
    contents(&bench.site())
}

/// The process that publishes without end, once it has said that it begins.
fn start(bench: &Bench) -> Child {
    let mut command = child("publish::killed::publisher_without_end");
    let mut publisher = command.env(FOLDER, bench.dir.path()).stdout(Stdio::piped()).spawn().unwrap();
    let output = BufReader::new(publisher.stdout.take().unwrap());
    assert!(output.lines().any(|line| line.unwrap() == "ready"), "the publisher never started");
    publisher
}

fn kill_after(bench: &Bench, wait: Duration) {
    let mut publisher = start(bench);
    thread::sleep(wait);
    assert_eq!(publisher.try_wait().unwrap(), None, "the publisher ended by itself");
    publisher.kill().unwrap();
    publisher.wait().unwrap();
}

#[test]
fn what_a_kill_left_is_gone_after_the_next_publication() {
    let bench = Bench::new();
    bench.publish_well(&edition(1, COUNT));
    let left = (0..100).any(|moment| {
        kill_after(&bench, Duration::from_micros(500 + moment * 130));
        bench.path(".site.bayleaf-staging").exists()
    });
    assert!(left, "no kill left a staging folder");
    assert!(fs::exists(bench.site()).unwrap());
    bench.publish_well(&edition(1, COUNT));
}
