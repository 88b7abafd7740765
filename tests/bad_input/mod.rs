//! Bad input on the real binary: a clear message with place and remedy, exit code 1 or 2, no panic, no waiting.

mod floods;
mod folders;
mod plans;
mod softening;
mod tables;
mod turns;

use std::fs;
use std::process::Command;
use std::time::{Duration, Instant};

use tempfile::TempDir;

/// Far more than any case needs, even in a slow build on a busy machine; a case that grows with the square of its size
/// needs hours.
const PATIENCE: Duration = Duration::from_secs(240);

/// The small guide in a folder of its own.
struct Folder {
    dir: TempDir,
}

/// What the program did.
struct Outcome {
    code: Option<i32>,
    out: String,
    err: String,
}

impl Folder {
    fn empty() -> Self {
        Self { dir: TempDir::new().unwrap() }
    }

    fn base() -> Self {
        crate::guides::base().into_iter().fold(Self::empty(), |folder, (path, bytes)| folder.with(&path, bytes))
    }

    fn with(self, path: &str, bytes: impl AsRef<[u8]>) -> Self {
        let path = self.dir.path().join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
        self
    }

    fn text(&self, path: &str) -> String {
        fs::read_to_string(self.dir.path().join(path)).unwrap()
    }

    fn inspect(&self) -> Outcome {
        self.inspect_with(&[])
    }

    fn inspect_with(&self, arguments: &[&str]) -> Outcome {
        run(Command::new(env!("CARGO_BIN_EXE_bayleaf")).arg("inspect").arg(self.dir.path()).args(arguments))
    }
}

fn run(command: &mut Command) -> Outcome {
    let begun = Instant::now();
    let output = command.env("NO_COLOR", "1").env("SOURCE_DATE_EPOCH", "1769904000").output().unwrap();
    assert!(begun.elapsed() < PATIENCE, "it took {:?}", begun.elapsed());
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
    let outcome = Outcome { code: output.status.code(), out: text(output.stdout), err: text(output.stderr) };
    assert!(!outcome.err.contains("panicked"), "{}", outcome.err);
    assert!(outcome.out.len() < 2_000_000, "{} bytes of output", outcome.out.len());
    outcome
}

impl Outcome {
    /// Asserts that these findings, each as place and rule, and no others were printed, and that each says what to
    /// write.
    fn finds(&self, expected: &[&str]) {
        assert_eq!(self.heads(), expected, "{}{}", self.out, self.err);
        assert_eq!(self.code, Some(i32::from(!expected.is_empty())), "{}", self.out);
        assert_eq!(self.out.matches("\n  write    ").count(), expected.len(), "{}", self.out);
        assert_eq!(self.err, "");
    }

    fn heads(&self) -> Vec<&str> {
        let levels = ["ERROR ", "WARNING ", "ADVICE "];
        self.out.lines().filter_map(|line| levels.iter().find_map(|level| line.strip_prefix(level))).collect()
    }
}
