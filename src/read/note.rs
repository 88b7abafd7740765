//! `notes/*.md`: front matter in TOML between two lines `+++`, then Markdown.

use toml::de::DeTable;

use super::file::Piece;
use super::links::{is_id, worded_bad_id};
use super::record::Record;
use super::{syntax, text};
use crate::model::{EntryKey, Head, Id, Kind, Name, Note, ProseRole, ProseSite};
use crate::report::Finding;
use crate::text::{Located, Source, Span};

const FENCE: &str = "+++";

/// Reads one note; its id is the name of its file.
pub(super) fn read(source: &Source, piece: &mut Piece) {
    let start = Span::start_of(piece.ledger.file);
    let name = source.path.rsplit('/').next().and_then(|name| name.strip_suffix(".md")).unwrap_or("");
    let Some((front, body)) = split(&source.text) else {
        piece.ledger.unread(name);
        let remedy = "Begin the file with a line `+++`, a line `title = \"…\"` and a line `+++`; then the text.";
        let wrong = match source.text.starts_with(FENCE) {
            true => "The front matter of the note is not closed by a line `+++`.",
            false => "The note does not begin with its front matter.",
        };
        let finding = Finding::new("missing-field", start, wrong, remedy);
        piece.ledger.complain(finding);
        return;
    };
    if !is_id(name) {
        let remedy = "Rename the file in small letters a to z, digits and single hyphens, such as `how-it-lifts.md`.";
        let (wrong, _) = worded_bad_id(name);
        piece.ledger.unread(&name.replace(' ', "-"));
        piece.ledger.complain(Finding::new("bad-id", start, wrong, remedy));
        return;
    }
    let id = Located::new(name.to_owned(), start);
    if let Some((head, title)) = front_matter(&source.text, front, id, piece) {
        let site = ProseSite {
            from: Some(EntryKey { kind: Kind::Note, id: name.to_owned() }),
            role: ProseRole::Text,
            text: source.text.get(body..).unwrap_or("").to_owned(),
            span: Span::new(piece.ledger.file, body..source.text.len()),
            exact: true,
        };
        let body = text::note_prose(&mut piece.ledger, site);
        piece.guide.notes.insert(Id::new(name), Note { head, title, body });
    }
}

fn front_matter(
    text: &str,
    front: std::ops::Range<usize>,
    id: Located<String>,
    piece: &mut Piece,
) -> Option<(Head, Located<String>)> {
    // The front matter is parsed behind as many spaces as stand before it, so that its places are those of the file.
    let padded = format!("{}{}", " ".repeat(front.start), text.get(front)?);
    let mended = syntax::mend(&padded, &mut piece.ledger);
    let (table, _) = DeTable::parse_recoverable(&mended.text);
    let name = Name::global(Kind::Note, id.value.clone());
    let declared = piece.ledger.declare(name, id.span, Span::new(piece.ledger.file, 0..text.len()));
    let mut record = Record::top(table.get_ref(), &padded, &mut piece.ledger);
    record.adopt(Kind::Note, Some(&id));
    let title = record.line("title", ProseRole::Text, "what the note is called");
    let mut head = record.head_after(id);
    head.span = Span::new(record.ledger.file, 0..text.len());
    record.finish_top();
    if title.is_none() {
        piece.ledger.lose(declared);
    }
    Some((head, title?))
}

/// The range of the front matter, and where the body begins.
fn split(text: &str) -> Option<(std::ops::Range<usize>, usize)> {
    let first = text.split_inclusive('\n').next()?;
    if first.trim_end() != FENCE {
        return None;
    }
    let mut at = first.len();
    for line in text.get(at..)?.split_inclusive('\n') {
        if line.trim_end() == FENCE {
            return Some((first.len()..at, at + line.len()));
        }
        at += line.len();
    }
    None
}
