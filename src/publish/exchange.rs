//! The moment of publishing: the new pages take the old ones' place.

#![expect(clippy::disallowed_methods, reason = "publishing exchanges two folders")]

use std::{fs, io, path::Path};

use super::{
    error::{PublishError, failed},
    means::Means,
    place::Place,
    staging::Staging,
};

/// Puts the staging folder's pages in the output's place, and the old pages, if any, into the staging folder.
pub(super) fn exchange(staging: &Staging, place: &Place, exists: bool, means: Means) -> Result<(), PublishError> {
    let next = staging.next();
    if !exists {
        return fs::rename(&next, &place.out).map_err(|error| refused(place, error));
    }
    if means.exchange {
        match swap(&next, &place.out) {
            Err(error) if is_unsupported(&error) => {}
            done => return done.map_err(|error| refused(place, error)),
        }
    }
    let old = staging.old();
    fs::rename(&place.out, &old).map_err(|error| refused(place, error))?;
    fs::rename(&next, &place.out).map_err(|source| match fs::rename(&old, &place.out) {
        Ok(()) => refused(place, source),
        Err(_) => PublishError::Stranded { out: place.out.clone(), old, source },
    })
}

fn refused(place: &Place, error: io::Error) -> PublishError {
    match error.kind() {
        io::ErrorKind::ResourceBusy | io::ErrorKind::CrossesDevices => {
            PublishError::MountPoint { out: place.out.clone() }
        }
        _ => failed("put the new pages in place", &place.out)(error),
    }
}

#[cfg(any(target_os = "linux", target_os = "android", target_vendor = "apple"))]
fn swap(next: &Path, out: &Path) -> io::Result<()> {
    use rustix::fs::{CWD, RenameFlags, renameat_with};
    renameat_with(CWD, next, CWD, out, RenameFlags::EXCHANGE).map_err(io::Error::from)
}

#[cfg(not(any(target_os = "linux", target_os = "android", target_vendor = "apple")))]
fn swap(_next: &Path, _out: &Path) -> io::Result<()> {
    Err(io::ErrorKind::Unsupported.into())
}

/// Whether the file system or the kernel knows no exchange: `EINVAL`, `ENOSYS` or `ENOTSUP`.
fn is_unsupported(error: &io::Error) -> bool {
    matches!(error.kind(), io::ErrorKind::InvalidInput | io::ErrorKind::Unsupported)
}
