//! The moment of publishing: the new pages take the old ones' place.

#![expect(clippy::disallowed_methods, reason = "publishing exchanges two folders")]

use std::{fs, io, path::Path};

use super::{
    destination::Destination,
    error::{PublishError, failed},
    means::Means,
    staging::Staging,
};

/// Puts the staging folder's pages in the output's place, and the old pages, if any, into the staging folder.
pub(super) fn exchange(
    staging: &Staging,
    destination: &Destination,
    exists: bool,
    means: Means,
) -> Result<(), PublishError> {
    let next = staging.next();
    if !exists {
        return fs::rename(&next, &destination.out).map_err(|error| refused(destination, error));
    }
    if means.exchange {
        match swap(&next, &destination.out) {
            Err(error) if is_unsupported(&error) => {}
            done => return done.map_err(|error| refused(destination, error)),
        }
    }
    let old = staging.old();
    fs::rename(&destination.out, &old).map_err(|error| refused(destination, error))?;
    fs::rename(&next, &destination.out).map_err(|source| match fs::rename(&old, &destination.out) {
        Ok(()) => refused(destination, source),
        Err(_) => PublishError::Stranded { out: destination.out.clone(), old, source },
    })
}

fn refused(destination: &Destination, error: io::Error) -> PublishError {
    match error.kind() {
        io::ErrorKind::ResourceBusy | io::ErrorKind::CrossesDevices => {
            PublishError::MountPoint { out: destination.out.clone() }
        }
        _ => failed("put the new pages in place", &destination.out)(error),
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
