//! The one door to the outside world for reading: which files a guide has, what is in them, what day it is.
//!
//! [`DiskDesk`] reads a folder, [`MemoryDesk`] serves tests and editors. Nothing here ever reads outside the guide
//! folder, and nothing writes. What goes wrong is told as data ([`Trouble`]); wording it is the reader's work.

mod day;
mod disk;
mod given;
mod memory;
pub mod names;
mod trouble;

use jiff::civil::Date;

pub use disk::DiskDesk;
pub use given::read_given;
pub use memory::MemoryDesk;
pub use trouble::{DayTrouble, Trouble, What};

/// The largest file that is read, in bytes (64 MiB).
pub const LARGEST_FILE: u64 = 64 * 1024 * 1024;

/// The file that says an output folder is ours; a folder holding it is never read as part of a guide.
pub const OUTPUT_MARKER: &str = ".bayleaf-output";

/// What a guide folder holds.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Listing {
    /// Paths of the files, relative to the guide folder, parts joined by `/`, sorted by bytes.
    pub files: Vec<String>,
    /// What could not be listed, sorted by path.
    pub troubles: Vec<Trouble>,
}

/// The outside world as the compiler sees it.
pub trait Desk: Sync {
    /// Lists the files of the guide folder.
    ///
    /// Hidden files and editors' backups are left out without a word. A file in [`Listing::files`] may still fail to
    /// be read.
    fn list(&self) -> Listing;

    /// Reads one file whole, by its path as [`Desk::list`] gives it.
    ///
    /// # Errors
    /// When the path leaves the guide folder, or the file is missing, unreadable, too large or not a plain file.
    fn read(&self, path: &str) -> Result<Vec<u8>, Trouble>;

    /// Today's date in UTC, or the date that `SOURCE_DATE_EPOCH` gives when it is set.
    ///
    /// # Errors
    /// When `SOURCE_DATE_EPOCH` is set but does not hold whole seconds since 1970 that fit a date.
    fn today(&self) -> Result<Date, DayTrouble>;
}

/// Sorts a listing and adds the files whose names differ only in case.
fn tidy(mut files: Vec<String>, mut troubles: Vec<Trouble>) -> Listing {
    files.sort();
    files.dedup();
    let mut seen = std::collections::BTreeMap::new();
    for path in &files {
        if let Some(other) = seen.insert(names::folded(path), path) {
            troubles.push(Trouble::new(path, What::SameButForCase { other: other.clone() }));
        }
    }
    troubles.sort();
    troubles.dedup();
    Listing { files, troubles }
}
