//! The staging folder beside the output: claimed by one run at a time, cleaned of what a killed run left.
//!
//! It holds a lock file, which is also the sign that the folder is ours, `next` (the pages being made) and, for as
//! long as an exchange in two steps takes, `old` (the published pages). The lock file is made first and removed last,
//! so a folder without it is either empty or not ours.

#![expect(clippy::disallowed_methods, reason = "publishing makes and removes its staging folder")]

use std::{
    fs::{self, File, TryLockError},
    io::{self, Write},
    path::{Path, PathBuf},
    thread,
    time::{Duration, Instant},
};

use super::{
    destination::{Destination, look},
    error::{PublishError, failed},
};

const LOCK: &str = "staging.lock";
const LOCK_TEXT: &[u8] = b"Bayleaf makes new pages here. When no compile is running, this folder can be deleted.\n";

/// A staging folder that this run holds; cleaned when dropped.
pub(super) struct Staging {
    work: PathBuf,
    out: PathBuf,
    /// Whether the folder was given up already, and may be another run's by now.
    done: bool,
    /// Held locked until the folder is gone.
    _lock: File,
}

impl Staging {
    /// Makes or takes over the staging folder, waiting for a run that has it, and puts right what a killed run left.
    pub fn claim(destination: &Destination, wait: Duration) -> Result<Self, PublishError> {
        let start = Instant::now();
        loop {
            if let Some(lock) = try_claim(&destination.work)? {
                let staging =
                    Self { work: destination.work.clone(), out: destination.out.clone(), done: false, _lock: lock };
                staging.put_right()?;
                return Ok(staging);
            }
            if start.elapsed() >= wait {
                return Err(PublishError::Busy { out: destination.out.clone(), seconds: wait.as_secs() });
            }
            thread::sleep(Duration::from_millis(20));
        }
    }

    /// Where the new pages are made; the old ones are here after an exchange in one step.
    pub fn next(&self) -> PathBuf {
        self.work.join("next")
    }

    /// Where the published pages wait during an exchange in two steps.
    pub fn old(&self) -> PathBuf {
        self.work.join("old")
    }

    /// Removes the staging folder; gives its path when that failed.
    pub fn finish(mut self) -> Option<PathBuf> {
        (!self.clear()).then(|| self.work.clone())
    }

    /// Removes the staging folder once; what stays is removed by the next run.
    fn clear(&mut self) -> bool {
        self.done = true;
        let cleared = self.put_right().is_ok() && fs::remove_file(self.work.join(LOCK)).is_ok();
        if cleared {
            // Another run may have put its own lock file here in the meantime; then the folder stays for it.
            let _ = fs::remove_dir(&self.work);
        }
        cleared
    }

    /// Puts published pages back that a run moved aside and could not replace, then removes all others.
    fn put_right(&self) -> Result<(), PublishError> {
        let old = self.old();
        if look(&old)?.is_some() && look(&self.out)?.is_none() {
            fs::rename(&old, &self.out).map_err(failed("put the published pages back", &self.out))?;
        }
        for folder in [old, self.next()] {
            remove(&folder).map_err(failed("remove what an interrupted run left", &folder))?;
        }
        Ok(())
    }
}

impl Drop for Staging {
    fn drop(&mut self) {
        if !self.done {
            self.clear();
        }
    }
}

/// One try; nothing when another run has the folder or has just removed it.
fn try_claim(work: &Path) -> Result<Option<File>, PublishError> {
    match fs::create_dir(work) {
        Err(error) if error.kind() != io::ErrorKind::AlreadyExists => Err(failed("make a folder", work)(error)),
        _ => Ok(()),
    }?;
    let path = work.join(LOCK);
    if !is_ours(work)? {
        return Err(PublishError::StagingTaken { work: work.to_owned() });
    }
    let mut lock = match File::options().read(true).append(true).create(true).open(&path) {
        Ok(lock) => lock,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(failed("make a lock file", &path)(error)),
    };
    match lock.try_lock() {
        Ok(()) => {}
        Err(TryLockError::WouldBlock) => return Ok(None),
        Err(TryLockError::Error(source)) => return Err(PublishError::NoLocks { work: work.to_owned(), source }),
    }
    // The run that held the lock removes the file before it lets go, so what is locked may be there no more.
    if !is_same(&lock, &path) {
        return Ok(None);
    }
    if lock.metadata().is_ok_and(|found| found.len() == 0) {
        lock.write_all(LOCK_TEXT).map_err(failed("write", &path))?;
    }
    Ok(Some(lock))
}

/// Whether the folder is a real one with our lock file in it, or is still empty, or is gone again.
///
/// One listing decides: looking for the lock file first and then for others would meet two states of a busy folder.
fn is_ours(work: &Path) -> Result<bool, PublishError> {
    match look(work)? {
        None => return Ok(true),
        Some(kind) if !kind.is_dir() => return Ok(false),
        Some(_) => {}
    }
    let entries: Vec<_> = match fs::read_dir(work).and_then(Iterator::collect::<Result<_, _>>) {
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(true),
        entries => entries.map_err(failed("look into this folder", work))?,
    };
    let is_lock =
        |entry: &fs::DirEntry| entry.file_name() == LOCK && entry.file_type().map_or(true, |kind| kind.is_file());
    Ok(entries.is_empty() || entries.iter().any(is_lock))
}

/// Whether the open file is the one at the path.
#[cfg(unix)]
fn is_same(lock: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let identity = |found: fs::Metadata| (found.dev(), found.ino());
    lock.metadata().ok().map(identity) == fs::symlink_metadata(path).ok().map(identity)
}

/// Whether the open file is the one at the path; elsewhere a removed file's name stays taken while it is open.
#[cfg(not(unix))]
fn is_same(_lock: &File, path: &Path) -> bool {
    path.is_file()
}

fn remove(folder: &Path) -> io::Result<()> {
    match fs::remove_dir_all(folder) {
        Err(error) if error.kind() != io::ErrorKind::NotFound => Err(error),
        _ => Ok(()),
    }
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    #[test]
    fn a_lock_file_that_was_removed_and_made_again_is_another_one() {
        let dir = tempfile::TempDir::new().unwrap();
        let path = dir.path().join(LOCK);
        let held = File::create(&path).unwrap();
        assert!(is_same(&held, &path));
        fs::remove_file(&path).unwrap();
        assert!(!is_same(&held, &path));
        fs::write(&path, "").unwrap();
        assert!(!is_same(&held, &path));
    }
}
