//! Reading TOML that may be broken: every slip is reported once, and only the statement it stands in is lost.
//!
//! The dialect is TOML 1.0, which every editor's tools read. The parser takes 1.1; what only 1.1 allows is reported.

use std::borrow::Cow;
use std::ops::Range;

use toml::de::{DeTable, Error};

use super::ledger::Ledger;
use super::meant;
use super::quotes;
use super::statements::{Slip, SlipKind, Statement, cut};
use crate::report::Finding;
use crate::text::Span;

/// Rounds of mending. Each takes out every statement that the parser complains of, up to the first header: what it says
/// behind a broken header may come of that.
const ROUNDS: usize = 20;

/// Tables that come again and again, by the last name of their headers: there single brackets are the slip.
const LISTS: [&str; 36] = [
    "access",
    "actuator",
    "answer",
    "band",
    "block",
    "bulletin",
    "cause",
    "check",
    "check_again",
    "consumable",
    "crossings",
    "depot",
    "hazard",
    "hazards",
    "hose",
    "likelihood",
    "node",
    "not_interchangeable_with",
    "part",
    "passage",
    "port",
    "pump",
    "reading",
    "recalibrate_if_disturbed",
    "recalibration",
    "serials",
    "signal",
    "soften",
    "source",
    "spec",
    "state",
    "state_change",
    "step",
    "term",
    "test_point",
    "variant",
];

/// What a version control system writes where two changes met.
const MERGE: [&str; 4] = ["<<<<<<<", "|||||||", "=======", ">>>>>>>"];

const MERGED: (&str, &str) = (
    "Two versions of the text met here, and nobody has chosen between them.",
    "Keep what is right of the two, and take out the lines that begin with <<<<<<<, ======= and >>>>>>>.",
);

/// Letters before and after a syntax error in which an odd one explains it.
const NEAR: usize = 200;

/// A text without its damaged statements.
pub(super) struct Mended<'t> {
    /// As long as the original, so that places stay the same.
    pub(super) text: Cow<'t, str>,
}

/// Takes the damaged statements out of a text, reports each of them, and notes what was lost.
pub(super) fn mend<'t>(text: &'t str, ledger: &mut Ledger) -> Mended<'t> {
    let cut = cut(text);
    let mut mender = Mender { text, statements: &cut.statements, damage: Vec::new(), merged: false, ledger };
    for slip in &cut.slips {
        mender.take_slip(slip);
    }
    let mut mended = blanked(text, &mender.damage);
    for _ in 0..ROUNDS {
        let errors = errors_of(&mended);
        if errors.is_empty() || !mender.take_errors(&errors) {
            break;
        }
        mended = blanked(text, &mender.damage);
    }
    let (damage, statements) = (mender.damage, cut.statements);
    note_damage(text, damage, &statements, ledger);
    Mended { text: mended }
}

fn errors_of(text: &str) -> Vec<(Range<usize>, String)> {
    let (_, errors) = DeTable::parse_recoverable(text);
    let told = |error: Error| Some((error.span()?, error.message().to_owned()));
    let mut errors: Vec<_> = errors.into_iter().filter_map(told).collect();
    errors.sort_by_key(|(range, _)| (range.start, range.end));
    errors
}

fn note_damage(text: &str, mut damage: Vec<Range<usize>>, statements: &[Statement], ledger: &mut Ledger) {
    damage.sort_by_key(|range| range.start);
    for range in &damage {
        ledger.unread(text.get(range.clone()).unwrap_or(""));
    }
    if !damage.is_empty() {
        ledger.silenced.push(Span::new(ledger.file, 0..usize::MAX));
        ledger.headers = statements.iter().filter(|it| it.is_header).map(|it| it.range.start).collect();
    }
    ledger.damage = damage;
}

/// The text with spaces in place of the ranges.
fn blanked<'t>(text: &'t str, ranges: &[Range<usize>]) -> Cow<'t, str> {
    if ranges.is_empty() {
        return Cow::Borrowed(text);
    }
    let mut bytes = text.as_bytes().to_vec();
    for range in ranges {
        let lost = bytes.get_mut(range.start..range.end.min(text.len())).unwrap_or_default();
        lost.iter_mut().filter(|byte| **byte != b'\n').for_each(|byte| *byte = b' ');
    }
    // Whole statements are taken out, and those begin and end between characters.
    String::from_utf8(bytes).map_or(Cow::Borrowed(""), Cow::Owned)
}

struct Mender<'m> {
    text: &'m str,
    statements: &'m [Statement],
    damage: Vec<Range<usize>>,
    /// True once a mark of merging has been told: one stands for all.
    merged: bool,
    ledger: &'m mut Ledger,
}

impl Mender<'_> {
    fn take_slip(&mut self, slip: &Slip) {
        let line = self.text.get(slip.at.clone()).unwrap_or("");
        let merged = slip.kind == SlipKind::NotAKey && MERGE.iter().any(|mark| line.starts_with(mark));
        let (wrong, remedy) = if merged { MERGED } else { worded_slip(slip.kind) };
        if merged && std::mem::replace(&mut self.merged, true) {
            self.lose(slip.statement);
            return;
        }
        match self.curly(slip.statement, &slip.at).filter(|_| !slip.kind.is_dialect()) {
            Some(quote) => self.complain_of_quote(quote),
            None => self.complain(slip.at.clone(), wrong.to_owned(), remedy),
        }
        if !slip.kind.is_dialect() {
            self.lose(slip.statement);
        }
    }

    /// Takes out the statements of these errors; false where none of them stands in a statement still there.
    fn take_errors(&mut self, errors: &[(Range<usize>, String)]) -> bool {
        let before = self.damage.len();
        for (range, message) in errors {
            let number = self.statements.partition_point(|statement| statement.range.start <= range.start);
            let Some(number) = number.checked_sub(1) else { continue };
            let Some(statement) = self.statements.get(number).cloned() else { continue };
            if self.is_lost(&statement) {
                continue;
            }
            if self.take_single_header(number, message) {
                break;
            }
            let at = place_in(&statement, range, message, self.text);
            match self.curly(number, &at) {
                Some(quote) => self.complain_of_quote(quote),
                None => {
                    let whole = self.text.get(statement.range.clone()).filter(|_| !message.starts_with("duplicate"));
                    let (wrong, remedy) = whole
                        .and_then(meant::value)
                        .unwrap_or_else(|| worded_error(message, self.text.get(at.clone()).unwrap_or("")));
                    self.complain(at, wrong, &remedy);
                }
            }
            self.lose(number);
            if statement.is_header {
                break;
            }
        }
        self.damage.len() > before
    }

    /// A record of a list in single brackets that comes again: said once, at the first in single brackets. All in single
    /// brackets are lost, so that those in double ones can be read. False where the error is another one.
    fn take_single_header(&mut self, number: usize, message: &str) -> bool {
        let header = |number: usize| self.statements.get(number).and_then(|it| name_of_header(self.text, it));
        let Some((name, _)) = header(number).filter(|_| message.starts_with("duplicate key")) else { return false };
        let (above, last) = name.rsplit_once('.').unwrap_or(("", name));
        if !LISTS.contains(&last) {
            return false;
        }
        // `[check.answer]` may stand once in every `[[check]]`.
        let begins = |at: &usize| !above.is_empty() && header(*at).is_some_and(|(other, _)| other == above);
        let from = (0..number).rev().find(begins).unwrap_or(0);
        let to = (number + 1..self.statements.len()).find(begins).unwrap_or(self.statements.len());
        let all: Vec<(usize, bool)> = (from..to)
            .filter_map(|at| header(at).filter(|(other, _)| *other == name).map(|(_, double)| (at, double)))
            .collect();
        let single: Vec<usize> = all.iter().filter(|(_, double)| !double).map(|(at, _)| *at).collect();
        let Some(first) = single.first().and_then(|at| self.statements.get(*at)) else { return false };
        let line = self.text.get(first.range.clone()).unwrap_or("").lines().next().unwrap_or("").trim_end().len();
        let at = first.range.start..first.range.start + line;
        let wrong =
            format!("`[{name}]` stands in single brackets, which may come once; here it comes {} times.", all.len());
        let remedy = format!("Write `[[{name}]]`, here and each time.");
        self.complain(at, wrong, &remedy);
        single.into_iter().for_each(|number| self.lose(number));
        true
    }

    fn curly(&self, number: usize, at: &Range<usize>) -> Option<Range<usize>> {
        quotes::curly(self.text, self.statements.get(number)?.range.clone(), at)
    }

    fn complain_of_quote(&mut self, quote: Range<usize>) {
        let wrong = quotes::worded(self.text.get(quote.clone()).unwrap_or(""));
        self.complain(quote, wrong, quotes::REMEDY);
    }

    fn is_lost(&self, statement: &Statement) -> bool {
        self.damage.iter().any(|range| range.start <= statement.range.start && statement.range.end <= range.end)
    }

    /// A header takes all that stands under it along: it would be read as part of another table.
    fn lose(&mut self, number: usize) {
        let Some(statement) = self.statements.get(number) else { return };
        let rest = self.statements.get(number + 1..).unwrap_or_default();
        let next = rest.iter().find(|it| it.is_header).map_or(self.text.len(), |next| next.range.start);
        let end = if statement.is_header { next } else { statement.range.end };
        self.damage.push(statement.range.start..end);
    }

    fn complain(&mut self, at: Range<usize>, wrong: String, remedy: &str) {
        // Where the file is not text, that has been said already.
        if is_garbled(self.text, at.start) {
            return;
        }
        self.ledger.complain(Finding::new("toml-syntax", Span::new(self.ledger.file, at), wrong, remedy));
    }
}

/// The name in a header, and whether it stands in double brackets.
fn name_of_header<'t>(text: &'t str, statement: &Statement) -> Option<(&'t str, bool)> {
    let line = text.get(statement.range.clone()).filter(|_| statement.is_header)?.lines().next()?;
    let inner = line.split('#').next()?.trim().strip_prefix('[')?.strip_suffix(']')?;
    let double = inner.strip_prefix('[').and_then(|inner| inner.strip_suffix(']'));
    Some((double.unwrap_or(inner).trim(), double.is_some()))
}

/// The place to show: what the parser points at, or the key where it only says that something is missing.
fn place_in(statement: &Statement, range: &Range<usize>, message: &str, text: &str) -> Range<usize> {
    if message.starts_with("key with no value") || range.is_empty() && text.get(range.start..).is_none_or(at_line_end) {
        let line = text.get(statement.range.clone()).unwrap_or("").lines().next().unwrap_or("");
        let key = line.find('=').map_or(line.len(), |end| line[..end].trim_end().len());
        return statement.range.start..statement.range.start + key;
    }
    range.clone()
}

/// True where a letter near the place, on its line, was lost or cannot be shown.
fn is_garbled(text: &str, at: usize) -> bool {
    let odd = |letter: char| letter == char::REPLACEMENT_CHARACTER || super::fields::is_unprintable(letter);
    let (before, after) = text.split_at_checked(at).unwrap_or_default();
    let near =
        |letters: &mut dyn Iterator<Item = char>| letters.take(NEAR).take_while(|letter| *letter != '\n').any(odd);
    near(&mut before.chars().rev()) || near(&mut after.chars())
}

fn at_line_end(rest: &str) -> bool {
    rest.trim_start_matches([' ', '\t', '\r']).is_empty()
        || rest.trim_start_matches([' ', '\t', '\r']).starts_with('\n')
}

fn worded_slip(kind: SlipKind) -> (&'static str, &'static str) {
    match kind {
        SlipKind::OpenText => (
            "The text that begins here is not closed on its line.",
            "Close it with the quote it began with, and write a quote inside it as \\\". Text over several lines stands between three quotes.",
        ),
        SlipKind::OpenLongText => {
            ("The text that begins here is never closed.", "Close it with three quotes, as it began.")
        }
        SlipKind::OpenBracket => (
            "The list that begins here is not closed before the next key or header.",
            "Close it with `]`, and put a comma between its values.",
        ),
        SlipKind::OpenBrace => (
            "The table that begins here is not closed on its line.",
            "Close it with `}` on the same line. A longer table gets a header of its own, such as `[fault]` or `[[check]]`.",
        ),
        SlipKind::TooDeep => (
            "Brackets, braces or dotted keys are nested too deep here.",
            "Write it flat: nothing in a guide needs more than a few levels.",
        ),
        SlipKind::ThirdBracket => (
            "A header has one bracket on each side, or two where it may come again.",
            "Take the third bracket out, such as `[fault]` or `[[check]]`.",
        ),
        SlipKind::NotAKey => (
            "This line is neither `key = value` nor a header.",
            "Write `key = value`, put a `#` before a remark, and text over several lines between three quotes.",
        ),
        SlipKind::LongTable => (
            "A table in braces goes over several lines. Only TOML 1.1 allows that; guides are written in TOML 1.0.",
            "Write it on one line, or give it a header of its own, such as `[part.fluid]`.",
        ),
        SlipKind::LastComma => (
            "A comma stands before the closing brace. Only TOML 1.1 allows that; guides are written in TOML 1.0.",
            "Take the last comma out.",
        ),
        SlipKind::Escape => (
            "Only TOML 1.1 knows this escape; guides are written in TOML 1.0.",
            "Write the character itself, or `\\u` and its four hexadecimal digits.",
        ),
    }
}

/// Our words for the parser's message about `piece`.
fn worded_error(message: &str, piece: &str) -> (String, String) {
    let piece = super::links::shortened(piece.trim());
    let (wrong, remedy) = if message.starts_with("duplicate key") {
        (format!("`{piece}` stands here for the second time."), "Keep one of the two.")
    } else if message.starts_with("cannot extend") {
        (format!("`{piece}` is a value above, so it cannot be a table as well."), "Give one of the two another name.")
    } else if message.contains("must be quoted") || message.starts_with("invalid boolean") {
        let about = if piece.is_empty() { "A value is missing here.".to_owned() } else { not_a_value(&piece) };
        (about, "Write text in double quotes; numbers, dates, true and false without, in small letters.")
    } else if message.starts_with("key with no value") {
        (format!("`{piece}` has no value."), "Write `key = value`, or take the line out.")
    } else if message.contains("unclosed") && message.contains("table") && !message.contains("inline") {
        ("The header is not closed.".to_owned(), "Close it with as many brackets as it began with.")
    } else if message.starts_with("unexpected key or value") {
        (
            "Something stands behind the end of the value or header.".to_owned(),
            "Put one `key = value` or one header on a line. A quote inside a text is written \\\".",
        )
    } else if message.contains("invalid date") || message.contains("invalid time") || message.contains("date-time") {
        (format!("\"{piece}\" is not a date of the calendar."), "Write year-month-day, such as 2026-05-01.")
    } else if message.contains("leading zero") || message.contains("radix") || message.contains("sign") {
        (
            format!("\"{piece}\" is not a number."),
            "Write digits without zeros in front; marks and codes as text in quotes.",
        )
    } else if message.contains("escape") || message.contains("unicode") {
        (
            "A backslash stands here with nothing it could mean.".to_owned(),
            "Write a backslash in text as \\\\, or put the text between single quotes.",
        )
    } else if message.contains("comma") || message.contains("array") || message.contains("assignment") {
        (
            "Values are not separated by one comma each here.".to_owned(),
            "Put one comma between values, and close every bracket.",
        )
    } else if message.contains("unquoted key") {
        (
            format!("\"{piece}\" cannot stand in a key."),
            "Write keys in small letters and underscores, as the guide's pages name them.",
        )
    } else {
        (
            "From here on the line cannot be read.".to_owned(),
            "Write one `key = value` on a line: text in double quotes, numbers and dates without, lists in square brackets.",
        )
    };
    (wrong, remedy.to_owned())
}

fn not_a_value(piece: &str) -> String {
    format!("`{piece}` is not a value.")
}

#[cfg(test)]
mod tests;
