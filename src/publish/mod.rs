//! Finished pages to an output folder, all or nothing.
//!
//! Pages are made in a staging folder beside the output, on the same file system: unchanged files as hard links to the
//! published ones (copies where there are no links), all others anew. Then the two folders change places in one step,
//! so that a kill, a full disk or a mistake leaves the old edition or the new one, never a mixture. Where the system
//! cannot exchange two folders, the old one is moved aside first, and the next run puts it back if it has to.
//!
//! Nothing is ever written outside the output folder and the staging folder. An output folder is only replaced when
//! it carries our marker, or holds nothing but the ignore files of a version-control tool; those are carried over.
//! A crash of the whole machine is not covered: nothing is forced to the disk, as that costs seconds per edition.

mod destination;
mod error;
mod exchange;
mod lay;
mod means;
mod pages;
mod sheet;
mod staging;
mod survey;

use std::{
    path::{Path, PathBuf},
    time::Duration,
};

pub use error::PublishError;
pub use pages::{PageError, Pages};
pub use sheet::SUMS;

use destination::Destination;
use means::Means;
use sheet::Sheet;
use staging::Staging;
use survey::Survey;

/// What one publication did.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Summary {
    /// How many files were made anew, the marker and the checksums among them.
    pub written: usize,
    /// How many files were there already, byte for byte, and were kept.
    pub kept: usize,
    /// Paths that were in the output folder and are no more, sorted; with `/`, relative to it.
    pub removed: Vec<String>,
    /// The staging folder, when it could not be removed. The guide is published all the same, and the next run
    /// tries again.
    pub leftover: Option<PathBuf>,
}

/// Looks at the output before any work is spent on pages, and puts right what a killed run left there.
///
/// Call it first, also when nothing may come to be published: after a kill in the middle of an exchange in two steps
/// the old pages are back only then.
///
/// # Errors
/// What [`publish`] would refuse. A later call may still fail, as nothing is held in the meantime.
pub fn prepare(out: &Path, guide: &Path) -> Result<(), PublishError> {
    let destination = Destination::find(out, guide)?;
    if destination::look(&destination.work)?.is_some() {
        match Staging::claim(&destination, Duration::ZERO) {
            // A run that is alive looks after its own folder.
            Ok(_) | Err(PublishError::Busy { .. }) => {}
            Err(error) => return Err(error),
        }
    }
    Survey::take(&destination.out).map(|_| ())
}

/// Makes the folder `out` hold exactly `pages`, a marker and `SHA256SUMS`; `guide` is the folder they were made from.
///
/// Writes on the ambient rayon pool; the bytes do not depend on it. When the folder holds exactly that already,
/// nothing is touched. A second run for the same folder waits for the first, up to half a minute.
///
/// # Errors
/// When the folder is unsuitable or a file cannot be written. The output folder is then as it was, and the staging
/// folder is gone unless the system refused that too.
pub fn publish(pages: &Pages, out: &Path, guide: &Path) -> Result<Summary, PublishError> {
    publish_by(Means::default(), pages, out, guide)
}

fn publish_by(means: Means, pages: &Pages, out: &Path, guide: &Path) -> Result<Summary, PublishError> {
    let destination = Destination::find(out, guide)?;
    let staging = Staging::claim(&destination, means.wait)?;
    // Another run may have finished, or a killed one may have been put right, since the destination was looked at.
    let destination = Destination::find(out, guide)?;
    let survey = Survey::take(&destination.out)?;
    let sheet = Sheet::new(pages);
    let same = lay::compare(&sheet, &survey, &destination.out);
    let removed = survey.stale(&sheet);
    let kept = same.iter().filter(|same| **same).count();
    let written = same.len() - kept;
    if written > 0 || !removed.is_empty() || !survey.folders_fit(&sheet) {
        lay::lay(&staging.next(), &destination.out, &sheet, &same, &survey, means)?;
        exchange::exchange(&staging, &destination, survey.exists, means)?;
    }
    Ok(Summary { written, kept, removed, leftover: staging.finish() })
}

#[cfg(test)]
mod tests;
