//! What can go wrong at the desk, as data.

use super::names::NameFault;

/// One file or folder that could not be taken, and what is the matter with it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Trouble {
    /// Path relative to the guide folder, with `/`; empty for the guide folder itself. Bytes that are not UTF-8 show
    /// as U+FFFD.
    pub path: String,
    /// What is the matter.
    pub what: What,
}

impl Trouble {
    /// Trouble with `path`.
    pub fn new(path: impl Into<String>, what: What) -> Self {
        Self { path: path.into(), what }
    }
}

/// What is the matter with a path.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum What {
    /// There is nothing at this path.
    Missing,
    /// The guide folder is a file.
    NotAFolder,
    /// Neither a file nor a folder: a pipe, a socket, a device.
    NotAFile,
    /// The path or a symbolic link on it resolves outside the guide folder; it was not followed.
    LeavesFolder,
    /// A symbolic link to nothing, or to itself.
    BrokenLink,
    /// A symbolic link to a folder inside the guide folder. Such links are not followed: they can form loops, and
    /// every entry in them would be there twice.
    LinkedFolder,
    /// The system would not let it be read; `reason` is the system's own word.
    Unreadable {
        /// The system's message.
        reason: String,
    },
    /// The name is not UTF-8.
    NameNotUnicode,
    /// The name cannot be carried to every system that a guide is read on.
    NameNotPortable(NameFault),
    /// Another file has the same name but for upper and lower case, so one of them is lost on many systems.
    SameButForCase {
        /// The other file's path.
        other: String,
    },
    /// The file is larger than what is read.
    TooLarge {
        /// The most that is read, in bytes.
        limit: u64,
    },
}

/// Why there is no date for today.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DayTrouble {
    /// What `SOURCE_DATE_EPOCH` holds.
    pub value: String,
}
