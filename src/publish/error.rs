//! Why a guide could not be published, in words for the person who wanted it.
//!
//! Every message names the place, what is wrong, why that matters and what to do.

use std::{
    io,
    path::{Path, PathBuf},
};

/// Why a guide could not be published. The output folder is as it was.
#[derive(Debug, thiserror::Error)]
pub enum PublishError {
    /// The output is the root of a file system or ends in `..`.
    #[error("{}: this is not a folder with a name, and only such a folder can be replaced. Name a folder of its own for the output", .out.display())]
    NoName { out: PathBuf },

    /// The folder above the output is missing.
    #[error("{}: there is no such folder to put the output in. Folders above the output are never made, since a mistyped drive would otherwise be filled unseen. Make the folder first, or correct the path", .parent.display())]
    NoParent { parent: PathBuf },

    /// The output is a symbolic link.
    #[error("{}: the output is a symbolic link. Publishing replaces the folder whole, which would leave the link's other end behind. Name the real folder instead", .out.display())]
    IsLink { out: PathBuf },

    /// The output is a file.
    #[error("{}: a file is where the output folder should be. Move the file away, or name another folder", .out.display())]
    IsFile { out: PathBuf },

    /// The guide folder is the output folder or lies in it.
    #[error("{}: the output folder is the guide folder, or holds it. Publishing replaces the folder whole and would delete the guide's own text. Name another folder", .out.display())]
    HoldsGuide { out: PathBuf },

    /// The output lies among the guide's content.
    #[error("{}: the output folder lies where the guide keeps its content. Pages would be read as content at the next compile. Name a folder beside the guide, or one directly in it that is not used for content", .out.display())]
    InGuide { out: PathBuf },

    /// The output folder holds something and has no marker; `found` is the first thing in it.
    #[error("{}: this folder was not made by Bayleaf and is not empty (it holds {found:?}). Publishing would delete what is in it. Name an empty or a new folder", .out.display())]
    NotOurs { out: PathBuf, found: String },

    /// The output folder holds a version-control tool's history, `found`.
    #[error("{}: {found:?} in the output folder belongs to a version-control tool, and publishing would delete its history. Publish to another folder and copy the pages from there", .out.display())]
    VersionControl { out: PathBuf, found: String },

    /// The output folder cannot be written to.
    #[error("{}: the output folder is read-only, so the guide in it cannot be replaced. Allow writing to it, or name another folder", .out.display())]
    ReadOnly { out: PathBuf },

    /// The folder above the output cannot be written to.
    #[error("{}: this folder, which holds the output folder, is read-only. New pages are made beside the old ones and change places with them, so the folder above must allow writing too. Allow it, or name an output folder elsewhere", .parent.display())]
    ParentReadOnly { parent: PathBuf },

    /// The output folder is a file system of its own, or from a lower layer of one.
    #[error("{}: the output folder cannot change places with the new pages, since it is a mount point (a drive or a share of its own) or belongs to the lower layer of a layered file system. Name a folder inside it, for example {}", .out.display(), .out.join("guide").display())]
    MountPoint { out: PathBuf },

    /// Something that is not ours has the staging folder's name.
    #[error("{}: this name is needed to make the new pages in, but something else is there. Move it away, or name another output folder", .work.display())]
    StagingTaken { work: PathBuf },

    /// Another run holds the staging folder.
    #[error("{}: another run has been publishing to this folder for more than {seconds} seconds. Two at once would spoil the guide. Wait for it to end, or stop it, and compile again", .out.display())]
    Busy { out: PathBuf, seconds: u64 },

    /// The file system cannot lock files.
    #[error("{}: files cannot be locked here ({source}), so two runs could spoil each other's pages. Publish to a folder on this machine and copy it from there", .work.display())]
    NoLocks { work: PathBuf, source: io::Error },

    /// No room, or over a quota or a file size limit.
    #[error("{}: there is no room left for the new pages ({source}). The published guide is as it was. Free some space and compile again", .path.display())]
    Full { path: PathBuf, source: io::Error },

    /// The system refused something; `doing` says what.
    #[error("{}: could not {doing} ({source}). The published guide is as it was. Put the cause right and compile again", .path.display())]
    System { doing: &'static str, path: PathBuf, source: io::Error },

    /// The exchange in two steps broke in the middle and could not be undone.
    #[error("{}: the new pages could not take the old ones' place ({source}), and the old ones could not be put back. They are whole in {}. Compile again, or move that folder back by hand", .out.display(), .old.display())]
    Stranded { out: PathBuf, old: PathBuf, source: io::Error },
}

/// Makes a system's error into ours: what was being done, and where.
pub(super) fn failed(doing: &'static str, path: &Path) -> impl FnOnce(io::Error) -> PublishError {
    let path = path.to_owned();
    move |source| match source.kind() {
        io::ErrorKind::StorageFull | io::ErrorKind::QuotaExceeded | io::ErrorKind::FileTooLarge => {
            PublishError::Full { path, source }
        }
        _ => PublishError::System { doing, path, source },
    }
}
