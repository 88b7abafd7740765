//! Reading one file: what its path says it holds, and what is in it.

use toml::de::DeTable;

use super::ledger::Ledger;
use super::record::{Form, Record};
use super::{kinds, note, results, syntax};
use crate::model::Guide;
use crate::text::{FileId, Source};

/// What a file holds, by its path.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Role {
    Guide,
    Terms,
    Card,
    Parts,
    Bulletins,
    Faults,
    Procedures,
    Hoses,
    Wiring,
    Sequences,
    Readings,
    Notes,
    Results,
    Media,
    /// Not part of a guide and not meant to be: a read-me, a licence.
    Ignored,
    /// Looks like part of a guide but stands where nothing is read.
    Stray,
}

impl Role {
    /// What stands in a file of this role, in a few words.
    pub(super) fn holds(self) -> &'static str {
        match self {
            Self::Guide => "the edition, whom to ask, variants, states, hazards, sources",
            Self::Terms => "words: any number of `[[term]]`",
            Self::Card => "the pocket card: `[card]`",
            Self::Parts => "parts of the machine: any number of `[[part]]`",
            Self::Bulletins => "notices: any number of `[[bulletin]]`",
            Self::Faults => "one complaint a file: `[fault]`",
            Self::Procedures => "one repair, task, make-safe or test a file: `[procedure]`",
            Self::Hoses => "one hydraulic circuit a file: `[circuit]`",
            Self::Wiring => "one path from supply to ground a file: `[path]`",
            Self::Sequences => "one powered operation a file: `[sequence]`; signals: `[[signal]]`",
            Self::Readings => "what is measured, and its limits: any number of `[[reading]]`",
            Self::Notes => "how it works, in Markdown",
            Self::Results => "tables of jobs done",
            Self::Media => "pictures",
            Self::Ignored | Self::Stray => "nothing",
        }
    }
}

/// The folders of a guide, with the ending of the files in each.
pub(super) const FOLDERS: [(&str, &str, Role); 10] = [
    ("parts", "toml", Role::Parts),
    ("bulletins", "toml", Role::Bulletins),
    ("faults", "toml", Role::Faults),
    ("procedures", "toml", Role::Procedures),
    ("hoses", "toml", Role::Hoses),
    ("wiring", "toml", Role::Wiring),
    ("sequences", "toml", Role::Sequences),
    ("readings", "toml", Role::Readings),
    ("notes", "md", Role::Notes),
    ("results", "csv", Role::Results),
];

/// The file that makes a folder a guide.
pub(super) const GUIDE: &str = "guide.toml";

/// True for a folder that files are read from.
pub(super) fn is_folder(name: &str) -> bool {
    name == "media" || FOLDERS.iter().any(|(known, ..)| *known == name)
}

/// The endings of pictures.
pub(super) const PICTURES: [&str; 6] = ["svg", "png", "jpg", "jpeg", "webp", "gif"];

/// What was read from one file.
pub(super) struct Piece {
    pub(super) guide: Guide,
    pub(super) ledger: Ledger,
}

/// What a file holds, by its path.
pub(super) fn role_of(path: &str) -> Role {
    let ending = path.rsplit_once('.').map_or("", |(_, ending)| ending);
    let folder = path.split_once('/').map(|(folder, _)| folder);
    match (path, folder) {
        (GUIDE, _) => return Role::Guide,
        ("terms.toml", _) => return Role::Terms,
        ("card.toml", _) => return Role::Card,
        (_, Some("media")) => {
            let known = PICTURES.contains(&ending.to_ascii_lowercase().as_str());
            return if known && path.matches('/').count() == 1 { Role::Media } else { Role::Stray };
        }
        _ => {}
    }
    let known = FOLDERS.iter().find(|(name, known, _)| folder == Some(*name) && ending == *known);
    match known {
        Some((_, _, role)) => *role,
        None if folder.is_none() && !matches!(ending, "toml" | "csv") => Role::Ignored,
        None => Role::Stray,
    }
}

/// Reads one file of text.
pub(super) fn read(id: FileId, source: &Source, role: Role) -> Piece {
    let mut piece = Piece { guide: Guide::default(), ledger: Ledger::new(id) };
    match role {
        Role::Notes => note::read(source, &mut piece),
        Role::Results => piece.guide.job_records = results::read(&source.text, &mut piece.ledger),
        _ => read_toml(&source.text, role, &mut piece),
    }
    piece
}

fn read_toml(text: &str, role: Role, piece: &mut Piece) {
    let mended = syntax::mend(text, &mut piece.ledger);
    let (table, _) = DeTable::parse_recoverable(&mended.text);
    let mut record = Record::top(table.get_ref(), text, &mut piece.ledger);
    if let Some(read) = reader(role) {
        read(&mut record, &mut piece.guide);
        record.finish_file();
    }
}

/// What reads the tables of a file.
type Reader = fn(&mut Record<'_, '_>, &mut Guide);

fn reader(role: Role) -> Option<Reader> {
    let read: Reader = match role {
        Role::Guide => kinds::guide::file,
        Role::Terms => kinds::term::file,
        Role::Card => kinds::card::file,
        Role::Parts => kinds::part::file,
        Role::Bulletins => kinds::bulletin::file,
        Role::Faults => kinds::fault::file,
        Role::Procedures => kinds::procedure::file,
        Role::Hoses => kinds::hoses::file,
        Role::Wiring => kinds::wiring::file,
        Role::Sequences => kinds::sequence::file,
        Role::Readings => kinds::reading::file,
        Role::Notes | Role::Results | Role::Media | Role::Ignored | Role::Stray => return None,
    };
    Some(read)
}

/// The form of the files of a role; `None` where they are not TOML.
pub(super) fn form(role: Role) -> Option<Form> {
    let read = reader(role)?;
    Some(Form::of("", false, |record| read(record, &mut Guide::default())))
}
