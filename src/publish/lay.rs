//! Compares the new publication with the published one, and lays it out in the staging folder.

#![expect(clippy::disallowed_methods, reason = "publishing is the one place that writes files")]

use std::{
    borrow::Cow,
    fs::{self, File},
    io::{self, Write},
    path::Path,
    time::SystemTime,
};

use rayon::prelude::*;

use super::{
    error::{PublishError, failed},
    means::Means,
    sheet::{Sheet, ancestors},
    survey::Survey,
};

/// For every file of the sheet, whether the same bytes are published under the same path.
pub(super) fn compare(sheet: &Sheet<'_>, survey: &Survey, out: &Path) -> Vec<bool> {
    let same = |path: &str, bytes: &[u8]| {
        let length = survey.files.get(path).copied();
        length == u64::try_from(bytes.len()).ok() && fs::read(out.join(path)).is_ok_and(|old| old == bytes)
    };
    sheet.files.par_iter().map(|(path, bytes)| same(path, bytes)).collect()
}

/// Makes the folder `next`: the same files from `out`, all others from the sheet.
pub(super) fn lay(
    next: &Path,
    out: &Path,
    sheet: &Sheet<'_>,
    same: &[bool],
    survey: &Survey,
    means: Means,
) -> Result<(), PublishError> {
    let carried: Vec<&str> =
        survey.keepers.iter().map(String::as_str).filter(|path| survey.is_carried(path, sheet)).collect();
    make_folder(next)?;
    let mut folders = sheet.folders();
    folders.extend(carried.iter().flat_map(|path| ancestors(path)));
    folders.iter().try_for_each(|folder| make_folder(&next.join(folder)))?;

    let one = |((path, bytes), same): (&(&str, Cow<'_, [u8]>), &bool)| {
        let (old, new) = (out.join(path), next.join(path));
        let done = if *same { keep(&old, &new, bytes, means) } else { write(&new, bytes, None) };
        done.map_err(failed("write this file", &new))
    };
    sheet.files.par_iter().zip(same).try_for_each(one)?;

    carried.iter().try_for_each(|path| carry(&out.join(path), &next.join(path), means))?;
    if survey.exists {
        take_permissions(out, next);
    }
    Ok(())
}

fn make_folder(path: &Path) -> Result<(), PublishError> {
    fs::create_dir(path).map_err(failed("make this folder", path))
}

/// Links an unchanged file, or copies it with its time where links do not exist or are not allowed.
fn keep(old: &Path, new: &Path, bytes: &[u8], means: Means) -> io::Result<()> {
    if means.links && fs::hard_link(old, new).is_ok() {
        return Ok(());
    }
    write(new, bytes, fs::metadata(old).and_then(|found| found.modified()).ok())
}

fn carry(old: &Path, new: &Path, means: Means) -> Result<(), PublishError> {
    let bytes = fs::read(old).map_err(failed("read this file", old))?;
    keep(old, new, &bytes, means).map_err(failed("write this file", new))
}

fn write(path: &Path, bytes: &[u8], modified: Option<SystemTime>) -> io::Result<()> {
    let mut file = File::create_new(path)?;
    file.write_all(bytes)?;
    modified.map_or(Ok(()), |time| file.set_modified(time))
}

/// Gives the new folder the old one's group and mode; best effort, as the group may not be ours to give.
fn take_permissions(out: &Path, next: &Path) {
    let Ok(old) = fs::metadata(out) else { return };
    #[cfg(unix)]
    {
        use std::os::unix::fs::{MetadataExt, chown};
        let _ = chown(next, None, Some(old.gid()));
    }
    let _ = fs::set_permissions(next, old.permissions());
}
