//! Where the output goes, and the places it may not go.

#![expect(clippy::disallowed_methods, reason = "publishing has to see where it writes")]

use std::{
    fs, io,
    path::{Path, PathBuf},
};

use super::error::{PublishError, failed};

/// The folders of a guide that hold content; the output may not take such a name inside the guide.
const CONTENT_FOLDERS: [&str; 11] = [
    "bulletins",
    "faults",
    "hoses",
    "media",
    "notes",
    "parts",
    "procedures",
    "readings",
    "results",
    "sequences",
    "wiring",
];

/// The output folder and the staging folder beside it, both absolute and without symbolic links.
#[derive(Debug)]
pub(super) struct Destination {
    pub out: PathBuf,
    pub parent: PathBuf,
    pub work: PathBuf,
}

impl Destination {
    /// Looks at the output folder, which need not exist, and refuses the unsuitable.
    pub fn find(out: &Path, guide: &Path) -> Result<Self, PublishError> {
        // Without the slash at the end, which would make a link look like its other end.
        let given: PathBuf = out.components().collect();
        let exists = look(&given)?;
        if let Some(kind) = exists {
            refuse_kind(&given, kind)?;
        }
        let out = absolute(&given, exists.is_some())?;
        let (Some(parent), Some(name)) = (out.parent(), out.file_name()) else {
            return Err(PublishError::NoName { out });
        };
        let mut staging = std::ffi::OsString::from(".");
        staging.push(name);
        staging.push(".bayleaf-staging");
        let destination = Self { parent: parent.to_owned(), work: parent.join(staging), out };
        destination.refuse_guide(guide)?;
        destination.refuse_read_only(exists.is_some())?;
        Ok(destination)
    }

    fn refuse_guide(&self, guide: &Path) -> Result<(), PublishError> {
        let guide = guide.canonicalize().map_err(failed("find the guide folder", guide))?;
        if guide.starts_with(&self.out) {
            return Err(PublishError::HoldsGuide { out: self.out.clone() });
        }
        let Ok(inside) = self.out.strip_prefix(&guide) else {
            return Ok(());
        };
        let content = inside.to_str().is_none_or(|name| CONTENT_FOLDERS.contains(&name.to_lowercase().as_str()));
        if content || inside.components().count() > 1 {
            return Err(PublishError::InGuide { out: self.out.clone() });
        }
        Ok(())
    }

    fn refuse_read_only(&self, exists: bool) -> Result<(), PublishError> {
        if exists && !is_writable(&self.out)? {
            return Err(PublishError::ReadOnly { out: self.out.clone() });
        }
        if exists && is_mount_point(&self.out, &self.parent)? {
            return Err(PublishError::MountPoint { out: self.out.clone() });
        }
        if !is_writable(&self.parent)? {
            return Err(PublishError::ParentReadOnly { parent: self.parent.clone() });
        }
        Ok(())
    }
}

/// What is at a path, without following a link there; nothing when it is free.
pub(super) fn look(path: &Path) -> Result<Option<fs::FileType>, PublishError> {
    match fs::symlink_metadata(path) {
        Ok(found) => Ok(Some(found.file_type())),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(None),
        Err(error) if error.kind() == io::ErrorKind::NotADirectory => {
            Err(PublishError::NoParent { parent: path.parent().unwrap_or(path).to_owned() })
        }
        Err(error) => Err(failed("look at this path", path)(error)),
    }
}

fn refuse_kind(out: &Path, kind: fs::FileType) -> Result<(), PublishError> {
    if kind.is_symlink() {
        return Err(PublishError::IsLink { out: out.to_owned() });
    }
    if !kind.is_dir() {
        return Err(PublishError::IsFile { out: out.to_owned() });
    }
    Ok(())
}

/// The absolute path without links; of a folder that does not exist yet, by way of the folder above it.
fn absolute(out: &Path, exists: bool) -> Result<PathBuf, PublishError> {
    if exists {
        return out.canonicalize().map_err(failed("find this folder", out));
    }
    let Some(name) = out.file_name() else {
        return Err(PublishError::NoName { out: out.to_owned() });
    };
    let parent = match out.parent() {
        Some(parent) if !parent.as_os_str().is_empty() => parent,
        _ => Path::new("."),
    };
    match parent.canonicalize() {
        Ok(real) if real.is_dir() => Ok(real.join(name)),
        _ => Err(PublishError::NoParent { parent: parent.to_owned() }),
    }
}

/// Whether entries can be made in a folder. Root may write anywhere, so the write bits are looked at besides.
fn is_writable(folder: &Path) -> Result<bool, PublishError> {
    let found = fs::metadata(folder).map_err(failed("look at this folder", folder))?;
    #[cfg(unix)]
    let allowed = rustix::fs::access(folder, rustix::fs::Access::WRITE_OK | rustix::fs::Access::EXEC_OK).is_ok();
    #[cfg(not(unix))]
    let allowed = true;
    Ok(allowed && !found.permissions().readonly())
}

#[cfg(unix)]
fn is_mount_point(out: &Path, parent: &Path) -> Result<bool, PublishError> {
    use std::os::unix::fs::MetadataExt;
    let device = |path: &Path| fs::metadata(path).map(|found| found.dev()).map_err(failed("look at this folder", path));
    Ok(device(out)? != device(parent)?)
}

#[cfg(not(unix))]
fn is_mount_point(_out: &Path, _parent: &Path) -> Result<bool, PublishError> {
    Ok(false)
}
