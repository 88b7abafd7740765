//! Wording what the desk could not take.

use super::decode::NotText;
use super::file::{FOLDERS, PICTURES};
use crate::desk::names::NameFault;
use crate::desk::{Trouble, What};
use crate::report::Finding;
use crate::text::{Span, nearest};

/// Trouble with one path.
pub(super) fn trouble(trouble: &Trouble, span: Span) -> Finding {
    let (rule, wrong, remedy) = worded(&trouble.what);
    Finding::new(rule, span, wrong, remedy)
}

fn worded(what: &What) -> (&'static str, String, String) {
    let unreadable = "unreadable-file";
    let (wrong, remedy) = match what {
        What::Missing => {
            ("The file is gone.".to_owned(), "Put it back, or leave its folder alone while the guide is read.")
        }
        What::NotAFolder => {
            ("This is a file, not a guide folder.".to_owned(), "Name the folder that holds guide.toml.")
        }
        What::NotAFile => ("This is neither a file nor a folder.".to_owned(), "Take it out of the guide folder."),
        What::LeavesFolder => (
            "This is a link to something outside the guide folder; it was not followed.".to_owned(),
            "Copy the file itself into the guide folder in place of the link.",
        ),
        What::BrokenLink => {
            ("This is a link to nothing.".to_owned(), "Put the file itself in its place, or take it out.")
        }
        What::LinkedFolder => (
            "This is a link to another folder of the guide; it was not followed.".to_owned(),
            "Take the link out: every entry in it would be there twice.",
        ),
        What::Unreadable { reason } => {
            (format!("The system would not let it be read: {reason}."), "Make the file readable for you.")
        }
        What::NameNotUnicode => ("The name holds bytes that are not text.".to_owned(), "Rename the file."),
        What::NameNotPortable(fault) => {
            (name_fault(*fault), "Rename the file in plain letters, digits, hyphens and full stops.")
        }
        What::SameButForCase { other } => {
            let wrong = format!("`{other}` has the same name but for small and capital letters.");
            return ("names-differ-in-case", wrong, "Rename one of the two.".to_owned());
        }
        What::TooLarge { limit } => (
            format!("The file is larger than {} MiB.", limit / (1024 * 1024)),
            "Split a text into several files, make a picture smaller, take anything else out.",
        ),
    };
    (unreadable, wrong, remedy.to_owned())
}

fn name_fault(fault: NameFault) -> String {
    match fault {
        NameFault::Empty => "The name is empty.".to_owned(),
        NameFault::Dots => "The name is only dots.".to_owned(),
        NameFault::Character(letter) => format!("The name holds {letter:?}, which other systems refuse."),
        NameFault::Device => "Some systems keep this name for devices.".to_owned(),
        NameFault::Edge => "The name begins with a space, or ends with a space or a full stop.".to_owned(),
        NameFault::TooLong => "The name is too long.".to_owned(),
    }
}

/// A file that looks like part of a guide but stands where nothing is read.
pub(super) fn stray(path: &str, span: Span) -> Finding {
    let folders = FOLDERS.iter().map(|(name, ..)| *name).chain(["media"]);
    let remedy = match path.split_once('/') {
        Some(("media", _)) => {
            format!("Put pictures straight into media/, as files ending in {}.", PICTURES.join(", "))
        }
        Some(("notes", file)) if is_office(file) => {
            "Save its text as plain Markdown, in a file that ends in .md, and take this one out.".to_owned()
        }
        Some(("results", file)) if is_office(file) => {
            "Save the table as CSV, in a file that ends in .csv, and take this one out.".to_owned()
        }
        Some((folder, _)) if FOLDERS.iter().any(|(name, ..)| *name == folder) => {
            let ending = FOLDERS.iter().find(|(name, ..)| *name == folder).map_or("toml", |(_, ending, _)| ending);
            format!("Files in {folder}/ end in .{ending}: rename it, or take it out of the guide folder.")
        }
        Some((folder, _)) => match nearest(folder, folders.clone()) {
            Some(known) => format!("Rename the folder `{known}`, if that was meant."),
            None => format!("Put it into one of {}.", folders.collect::<Vec<_>>().join(", ")),
        },
        None => "Beside guide.toml, terms.toml and card.toml, files stand in the folder of their kind.".to_owned(),
    };
    Finding::new("stray-file", span, "Nothing is read from this place.", remedy)
}

/// True for documents and tables of an office program.
fn is_office(file: &str) -> bool {
    let ending = file.rsplit_once('.').map_or("", |(_, ending)| ending).to_ascii_lowercase();
    ["doc", "docx", "odt", "rtf", "pdf", "xls", "xlsx", "ods"].contains(&ending.as_str())
}

/// A file that is not plain text in UTF-8.
pub(super) fn not_text(span: Span, what: NotText) -> Finding {
    let save = "Save the file as UTF-8 in your editor.";
    let (wrong, remedy) = match what {
        NotText::Binary => (
            "From here on the file is not text.".to_owned(),
            "Put the text file back in its place. A picture belongs in media/, with the ending of its format.",
        ),
        NotText::OtherEncoding => ("This letter is not in UTF-8, so it is lost.".to_owned(), save),
        NotText::Utf16 => ("The file is saved as UTF-16, not as UTF-8.".to_owned(), save),
        NotText::Character(char::REPLACEMENT_CHARACTER) => {
            ("A letter was lost here when the file was saved.".to_owned(), "Write the letter again and save as UTF-8.")
        }
        NotText::Character(letter) => {
            let wrong = format!("The character U+{:04X} stands here, which has no place on a page.", u32::from(letter));
            (wrong, "Take the character out.")
        }
    };
    Finding::new("unreadable-file", span, wrong, remedy)
}

/// A guide in whose folders nothing is.
pub(super) fn no_entries(span: Span) -> Finding {
    let folders = FOLDERS.iter().map(|(name, ending, role)| format!("{name}/*.{ending} ({})", role.holds()));
    let remedy = format!(
        "Add files beside guide.toml: {}; media/ (pictures). `bayleaf fields faults` names the keys of a fault.",
        folders.collect::<Vec<_>>().join("; ")
    );
    Finding::new("guide-without-entries", span, "The guide has a guide.toml, but no entry beside it.", remedy)
}

/// A guide.toml in which nothing is.
pub(super) fn bare_guide(span: Span) -> Finding {
    let wrong = "guide.toml is empty, so nothing else in the guide can be judged.";
    let remedy = "Put its text back from a copy. Else write the tables `[guide]` and `[escalation]`, then the variants, states, \
        hazards and sources that the entries name; `bayleaf fields guide` names the keys.";
    Finding::new("missing-guide", span, wrong, remedy)
}

/// A folder without guide.toml.
pub(super) fn no_guide(span: Span, empty: bool, other: Option<&str>) -> Finding {
    if let Some(other) = other {
        let wrong = format!("The folder has no guide.toml, but `{other}`.");
        return Finding::new("missing-guide", span, wrong, "Rename it guide.toml, in small letters.");
    }
    let wrong = if empty { "The folder holds no guide: it is empty." } else { "The folder has no guide.toml." };
    let remedy = "Add a file guide.toml with the tables `[guide]` and `[escalation]`; a folder without it is not a guide. \
        `bayleaf fields guide` names their keys.";
    Finding::new("missing-guide", span, wrong, remedy)
}
