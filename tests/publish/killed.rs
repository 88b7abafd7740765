//! Killed without warning at 200 moments, the folder holds one whole edition.

use std::{
    collections::BTreeMap,
    fs,
    io::{BufRead, BufReader, Lines},
    path::PathBuf,
    process::{Child, ChildStdout, Stdio},
    thread,
    time::{Duration, Instant},
};

use bayleaf::publish::publish;

use super::{Bench, assert_whole, child, contents, edition, names};

const FOLDER: &str = "BAYLEAF_TEST_FOLDER";
const COUNT: usize = 60;
const MOMENTS: u32 = 200;

#[test]
#[ignore = "plays the process that is killed; only has work when another test starts it"]
fn publisher_without_end() {
    let Some(folder) = std::env::var_os(FOLDER).map(PathBuf::from) else { return };
    let editions = [edition(1, COUNT), edition(2, COUNT)];
    println!("\nready");
    for pages in editions.iter().cycle() {
        publish(pages, &folder.join("site"), &folder.join("guide")).unwrap();
        println!("published");
    }
}

#[test]
fn a_kill_at_any_of_200_moments_leaves_one_whole_edition() {
    let bench = Bench::new();
    let editions = [1, 2].map(whole);
    bench.publish_well(&edition(1, COUNT));
    let (mut seen, mut half_done, mut period) = ([0, 0], 0, Duration::ZERO);
    for moment in 0..MOMENTS {
        if moment % 20 == 0 {
            period = two_publications(&bench);
        }
        // In jumps, so that the early and the late moments share whatever else the machine is doing.
        kill_after(&bench, period * (moment * 37 % MOMENTS) / MOMENTS);
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

/// A process that publishes without end, and what it prints.
struct Publisher {
    process: Child,
    lines: Lines<BufReader<ChildStdout>>,
}

impl Publisher {
    /// Starts the process and waits until its first publication begins.
    fn start(bench: &Bench) -> Self {
        let mut command = child("publish::killed::publisher_without_end");
        let mut process = command.env(FOLDER, bench.dir.path()).stdout(Stdio::piped()).spawn().unwrap();
        let lines = BufReader::new(process.stdout.take().unwrap()).lines();
        let mut publisher = Self { process, lines };
        publisher.wait_for("ready");
        publisher
    }

    fn wait_for(&mut self, expected: &str) {
        assert!(self.lines.any(|line| line.unwrap() == expected), "the publisher ended before it was {expected}");
    }

    fn kill(mut self) {
        assert_eq!(self.process.try_wait().unwrap(), None, "the publisher ended by itself");
        self.process.kill().unwrap();
        self.process.wait().unwrap();
    }
}

fn kill_after(bench: &Bench, wait: Duration) {
    let publisher = Publisher::start(bench);
    thread::sleep(wait);
    publisher.kill();
}

/// How long two publications take at present; the first of them may have nothing to do.
fn two_publications(bench: &Bench) -> Duration {
    let mut publisher = Publisher::start(bench);
    publisher.wait_for("published");
    let start = Instant::now();
    (0..2).for_each(|_| publisher.wait_for("published"));
    let period = start.elapsed();
    publisher.kill();
    period
}

#[test]
fn what_a_kill_left_is_gone_after_the_next_publication() {
    let bench = Bench::new();
    bench.publish_well(&edition(1, COUNT));
    let left = (0..100).any(|moment| {
        kill_after(&bench, Duration::from_micros(500 + moment * 200));
        bench.path(".site.bayleaf-staging").exists()
    });
    assert!(left, "no kill left a staging folder");
    assert!(fs::exists(bench.site()).unwrap());
    bench.publish_well(&edition(1, COUNT));
}
