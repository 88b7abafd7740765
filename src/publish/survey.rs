//! What is in the output folder before anything is done to it.

#![expect(clippy::disallowed_methods, reason = "publishing has to see what it replaces")]

use std::{
    collections::{BTreeMap, BTreeSet},
    path::Path,
};

use walkdir::{DirEntry, WalkDir};

use crate::desk::OUTPUT_MARKER;

use super::{
    destination::look,
    error::{PublishError, failed},
    sheet::{Sheet, ancestors},
};

/// Files that keep a folder in a version-control tool; they survive publishing.
pub(super) const KEPT_NAMES: [&str; 2] = [".gitignore", ".gitkeep"];

/// What a version-control tool keeps its history in; a folder holding one is never replaced.
pub(super) const VERSION_CONTROL: [&str; 5] = [".bzr", ".git", ".hg", ".jj", ".svn"];

/// The output folder's contents, by relative path with `/`.
#[derive(Debug, Default)]
pub(super) struct Survey {
    /// Whether there is an output folder at all.
    pub exists: bool,
    /// Plain files and their length in bytes.
    pub files: BTreeMap<String, u64>,
    /// Version-control files to carry over.
    pub keepers: BTreeSet<String>,
    folders: BTreeSet<String>,
    /// Links and the like, which are never followed.
    others: BTreeSet<String>,
}

impl Survey {
    /// Looks through the output folder.
    ///
    /// # Errors
    /// When the folder is neither ours nor empty, or cannot be read.
    pub fn take(out: &Path) -> Result<Self, PublishError> {
        let mut survey = Self { exists: look(out)?.is_some(), ..Self::default() };
        if !survey.exists {
            return Ok(survey);
        }
        let ours = look(&out.join(OUTPUT_MARKER))?.is_some_and(|kind| kind.is_file());
        for entry in WalkDir::new(out).min_depth(1).sort_by_file_name() {
            survey.note(&entry.map_err(|error| unwalkable(out, error))?, out, ours)?;
        }
        match survey.bare_folder() {
            Some(found) if !ours => Err(PublishError::NotOurs { out: out.to_owned(), found: found.clone() }),
            _ => Ok(survey),
        }
    }

    /// What is in the folder and not in the new publication, sorted.
    pub fn stale(&self, sheet: &Sheet<'_>) -> Vec<String> {
        let known = self.files.keys().filter(|path| !sheet.has(path) && !self.is_carried(path, sheet));
        let all: BTreeSet<_> = known.chain(&self.others).collect();
        all.into_iter().cloned().collect()
    }

    /// Whether a version-control file goes on existing: not when a page takes the place of its folder.
    pub fn is_carried(&self, path: &str, sheet: &Sheet<'_>) -> bool {
        self.keepers.contains(path) && !ancestors(path).any(|folder| sheet.has(folder))
    }

    /// Whether there are no folders but those that the new publication needs.
    pub fn folders_fit(&self, sheet: &Sheet<'_>) -> bool {
        let needed = sheet.folders();
        let holds_keeper = |folder: &str| self.keepers.iter().any(|path| ancestors(path).any(|above| above == folder));
        self.folders.iter().all(|folder| needed.contains(folder.as_str()) || holds_keeper(folder))
    }

    fn note(&mut self, entry: &DirEntry, out: &Path, ours: bool) -> Result<(), PublishError> {
        let relative = entry.path().strip_prefix(out).unwrap_or(entry.path());
        let shown = relative.iter().map(|part| part.to_string_lossy()).collect::<Vec<_>>().join("/");
        let name = entry.file_name().to_string_lossy();
        let (kind, plain) = (entry.file_type(), relative.to_str().is_some());
        if VERSION_CONTROL.contains(&name.as_ref()) {
            return Err(PublishError::VersionControl { out: out.to_owned(), found: shown });
        }
        if kind.is_dir() {
            self.folders.insert(shown);
            return Ok(());
        }
        let keeper = kind.is_file() && plain && KEPT_NAMES.contains(&name.as_ref());
        if !ours && !keeper {
            return Err(PublishError::NotOurs { out: out.to_owned(), found: shown });
        }
        if keeper {
            self.keepers.insert(shown.clone());
        }
        if kind.is_file() && plain {
            let length = entry.metadata().map_err(|error| unwalkable(out, error))?.len();
            self.files.insert(shown, length);
        } else {
            self.others.insert(shown);
        }
        Ok(())
    }

    /// A folder that holds no version-control file, if any.
    fn bare_folder(&self) -> Option<&String> {
        let kept: BTreeSet<_> = self.keepers.iter().flat_map(|path| ancestors(path)).collect();
        self.folders.iter().find(|folder| !kept.contains(folder.as_str()))
    }
}

fn unwalkable(out: &Path, error: walkdir::Error) -> PublishError {
    let path = error.path().unwrap_or(out).to_owned();
    failed("look through the output folder", &path)(error.into())
}
