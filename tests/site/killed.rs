//! A compile that is killed without warning at 200 moments leaves the old site or the new one, whole.

use std::{
    collections::BTreeMap,
    path::{Path, PathBuf},
    process::Stdio,
    thread,
    time::{Duration, Instant},
};

use tempfile::TempDir;

use crate::publish::{assert_whole, contents, text};

use super::{DEMO, compile, guide, next_edition, run};

const MOMENTS: u32 = 200;

/// Two editions of the guide and the folder they are published to by turns.
struct Bench {
    dir: TempDir,
    guides: [PathBuf; 2],
    sites: [BTreeMap<String, Vec<u8>>; 2],
}

impl Bench {
    fn new() -> Self {
        let dir = TempDir::new().unwrap();
        let guides = [guide(), dir.path().join("next")];
        next_edition(&guides[1]);
        finish(&guides[1], &dir.path().join("other"));
        let sites = [DEMO.files.clone(), contents(&dir.path().join("other"))];
        finish(&guides[0], &dir.path().join("site"));
        Self { dir, guides, sites }
    }

    fn site(&self) -> PathBuf {
        self.dir.path().join("site")
    }

    /// Which edition the folder holds, down to the last byte.
    fn published(&self) -> Option<usize> {
        let found = contents(&self.site());
        self.sites.iter().position(|site| *site == found)
    }

    /// How long it takes to publish the other edition, and then this one again.
    fn one_compile(&self, edition: usize) -> Duration {
        let start = Instant::now();
        finish(&self.guides[1 - edition], &self.site());
        finish(&self.guides[edition], &self.site());
        start.elapsed() / 2
    }
}

fn finish(guide: &Path, out: &Path) {
    let output = run(compile(guide, out));
    assert!(output.status.success(), "{}{}", text(&output.stdout), text(&output.stderr));
}

#[test]
fn a_kill_at_any_of_200_moments_leaves_one_whole_site() {
    let bench = Bench::new();
    let (mut here, mut kept, mut half_done, mut duration) = (0, 0, 0, Duration::ZERO);
    for moment in 0..MOMENTS {
        if moment % 20 == 0 {
            duration = bench.one_compile(here);
        }
        let mut command = compile(&bench.guides[1 - here], &bench.site());
        let mut process = command.stdout(Stdio::null()).stderr(Stdio::null()).spawn().unwrap();
        // In jumps, so that the early and the late moments share whatever else the machine is doing.
        thread::sleep(duration * (moment * 37 % MOMENTS) / MOMENTS);
        process.kill().unwrap();
        process.wait().unwrap();
        let found = bench.published();
        let found = found
            .unwrap_or_else(|| panic!("moment {moment}: neither edition, but {:?}", contents(&bench.site()).keys()));
        assert_whole(&bench.site());
        half_done += u32::from(bench.dir.path().join(".site.bayleaf-staging").exists());
        kept += u32::from(found == here);
        here = found;
    }
    println!("old site {kept}, new site {}, killed while staging {half_done}", MOMENTS - kept);
    assert!(kept > 0 && kept < MOMENTS, "every kill met the same site, so none came near the exchange");
    assert!(half_done > 10, "only {half_done} kills met a publication in the middle");
    finish(&bench.guides[1 - here], &bench.site());
    assert_eq!(bench.published(), Some(1 - here));
    assert!(!bench.dir.path().join(".site.bayleaf-staging").exists(), "what the kills left is still there");
}
