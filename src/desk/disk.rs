//! A guide folder on disk.

#![expect(clippy::disallowed_methods, reason = "the desk is the one place that reads files")]

use std::{
    fs::{self, File},
    io::{self, Read},
    path::{Path, PathBuf},
};

use jiff::{Timestamp, civil::Date};
use walkdir::{DirEntry, WalkDir};

use super::{
    DayTrouble, Desk, LARGEST_FILE, Listing, OUTPUT_MARKER, Trouble, What,
    day::day,
    names::{self, NameFault},
    tidy,
};

/// A guide folder on disk.
#[derive(Debug, Clone)]
pub struct DiskDesk {
    root: PathBuf,
    limit: u64,
}

/// What one entry of the walk is to a guide.
enum Taken {
    File(String),
    Folder,
    /// A tool's leaving, or a folder that was published.
    Nothing,
    Trouble(Trouble),
}

impl DiskDesk {
    /// The guide in `folder`, which may itself be reached through a symbolic link.
    ///
    /// # Errors
    /// When the folder is missing, is not a folder, or cannot be reached.
    pub fn open(folder: &Path) -> Result<Self, Trouble> {
        let root = folder.canonicalize().map_err(|error| failed("", &error))?;
        if !root.is_dir() {
            return Err(Trouble::new("", What::NotAFolder));
        }
        Ok(Self { root, limit: LARGEST_FILE })
    }

    /// The folder, absolute and without symbolic links.
    pub fn root(&self) -> &Path {
        &self.root
    }

    /// Judges one entry of the walk.
    fn take(&self, entry: &DirEntry) -> Taken {
        let shown = shown(entry.path().strip_prefix(&self.root).unwrap_or(entry.path()));
        let Some(name) = entry.file_name().to_str() else {
            return Taken::Trouble(Trouble::new(shown, What::NameNotUnicode));
        };
        let kind = entry.file_type();
        let published = || kind.is_dir() && entry.path().join(OUTPUT_MARKER).is_file();
        if names::is_left_out(name) || published() {
            return Taken::Nothing;
        }
        if let Some(fault) = names::fault(name) {
            return Taken::Trouble(Trouble::new(shown, What::NameNotPortable(fault)));
        }
        if kind.is_symlink() {
            return self.resolve(&shown).map_or_else(Taken::Trouble, |_| Taken::File(shown));
        }
        match (kind.is_dir(), kind.is_file()) {
            (true, _) => Taken::Folder,
            (_, true) => Taken::File(shown),
            _ => Taken::Trouble(Trouble::new(shown, What::NotAFile)),
        }
    }

    /// The real place of a listed path, when it is a plain file inside the guide folder.
    fn resolve(&self, path: &str) -> Result<PathBuf, Trouble> {
        match names::path_fault(path) {
            Some(NameFault::Dots | NameFault::Empty) => return Err(Trouble::new(path, What::LeavesFolder)),
            Some(fault) => return Err(Trouble::new(path, What::NameNotPortable(fault))),
            None => {}
        }
        let joined = self.root.join(path);
        let real = joined.canonicalize().map_err(|error| match joined.is_symlink() {
            true => broken(path, &error),
            false => failed(path, &error),
        })?;
        if !real.starts_with(&self.root) {
            return Err(Trouble::new(path, What::LeavesFolder));
        }
        let kind = fs::metadata(&real).map_err(|error| failed(path, &error))?.file_type();
        match (kind.is_dir(), kind.is_file()) {
            (true, _) => Err(Trouble::new(path, What::LinkedFolder)),
            (_, true) => Ok(real),
            _ => Err(Trouble::new(path, What::NotAFile)),
        }
    }
}

impl Desk for DiskDesk {
    fn list(&self) -> Listing {
        let (mut files, mut troubles) = (Vec::new(), Vec::new());
        let mut walk = WalkDir::new(&self.root).min_depth(1).sort_by_file_name().into_iter();
        while let Some(step) = walk.next() {
            match step.map(|entry| (self.take(&entry), entry)) {
                Ok((Taken::File(path), _)) => files.push(path),
                Ok((Taken::Folder, _)) => {}
                Ok((Taken::Nothing, entry)) => leave(&mut walk, &entry),
                Ok((Taken::Trouble(trouble), entry)) => {
                    troubles.push(trouble);
                    leave(&mut walk, &entry);
                }
                Err(error) => troubles.push(unwalkable(&self.root, &error)),
            }
        }
        tidy(files, troubles)
    }

    fn read(&self, path: &str) -> Result<Vec<u8>, Trouble> {
        let real = self.resolve(path)?;
        let mut bytes = Vec::new();
        let read = File::open(real).and_then(|file| file.take(self.limit.saturating_add(1)).read_to_end(&mut bytes));
        read.map_err(|error| failed(path, &error))?;
        if u64::try_from(bytes.len()).is_ok_and(|length| length <= self.limit) {
            return Ok(bytes);
        }
        Err(Trouble::new(path, What::TooLarge { limit: self.limit }))
    }

    fn today(&self) -> Result<Date, DayTrouble> {
        let epoch = std::env::var_os("SOURCE_DATE_EPOCH");
        day(epoch.as_ref().map(|value| value.to_string_lossy()).as_deref(), Timestamp::now())
    }
}

/// Keeps the walk from going into an entry that was not taken.
fn leave(walk: &mut walkdir::IntoIter, entry: &DirEntry) {
    if entry.file_type().is_dir() {
        walk.skip_current_dir();
    }
}

fn shown(relative: &Path) -> String {
    let parts: Vec<_> = relative.iter().map(|part| part.to_string_lossy()).collect();
    parts.join("/")
}

fn failed(path: &str, error: &io::Error) -> Trouble {
    match error.kind() {
        io::ErrorKind::NotFound => Trouble::new(path, What::Missing),
        _ => Trouble::new(path, What::Unreadable { reason: error.to_string() }),
    }
}

/// A link to nothing, or round in a circle (which has no portable error kind of its own).
fn broken(path: &str, error: &io::Error) -> Trouble {
    match error.kind() {
        io::ErrorKind::PermissionDenied => failed(path, error),
        _ => Trouble::new(path, What::BrokenLink),
    }
}

fn unwalkable(root: &Path, error: &walkdir::Error) -> Trouble {
    let relative = error.path().and_then(|path| path.strip_prefix(root).ok()).map(shown);
    let reason = error.io_error().map_or_else(|| error.to_string(), ToString::to_string);
    Trouble::new(relative.unwrap_or_default(), What::Unreadable { reason })
}

#[cfg(test)]
#[path = "disk_tests.rs"]
mod tests;
