//! `results/*.csv`: job records, one a row (RFC 4180, with a header row).

use std::ops::Range;

use csv::{ReaderBuilder, StringRecord, Trim};
use jiff::civil::Date;

use super::ledger::Ledger;
use super::links::{is_kebab, shortened};
use crate::model::{Certainty, Id, JobRecord, Kind, Link, Name};
use crate::report::Finding;
use crate::text::{Located, Span, nearest};

pub(super) const COLUMNS: [&str; 14] = [
    "date", "machine", "variant", "serial", "edition", "fault", "cause", "outcome", "cured", "minutes", "name",
    "answers", "guide", "readings",
];

/// Columns without which a row says nothing.
const NEEDED: [&str; 4] = ["date", "machine", "fault", "outcome"];

const CERTAINTIES: [(&str, Certainty); 3] =
    [("shown", Certainty::Shown), ("inferred", Certainty::Inferred), ("unconfirmed", Certainty::Unconfirmed)];

/// Reads a table of job records. A bad row is reported and left out.
pub(super) fn read(text: &str, ledger: &mut Ledger) -> Vec<JobRecord> {
    let mut reader = ReaderBuilder::new().trim(Trim::All).flexible(true).from_reader(text.as_bytes());
    let header = match reader.headers() {
        Ok(header) => header.clone(),
        Err(error) => {
            ledger.complain(bad_row(Span::start_of(ledger.file), &error.to_string()));
            return Vec::new();
        }
    };
    if !check_header(&header, text, ledger) {
        return Vec::new();
    }
    let rows: Vec<_> = reader.records().collect();
    rows.into_iter().filter_map(|row| read_row(row, &header, text, ledger)).collect()
}

fn check_header(header: &StringRecord, text: &str, ledger: &mut Ledger) -> bool {
    let cells = cell_ranges(text, 0);
    let span = |cell: usize| Span::new(ledger.file, cells.get(cell).cloned().unwrap_or(0..0));
    let mut missing: Vec<&str> = NEEDED.into_iter().filter(|name| !header.iter().any(|known| known == *name)).collect();
    if missing.len() == NEEDED.len() {
        let remedy = "Save the table with commas between the cells, and the names of the columns in the first row.";
        let parted = [(';', "semicolons"), ('\t', "tabs")]
            .into_iter()
            .find(|(sign, _)| text.lines().next().is_some_and(|row| row.contains(*sign)));
        let wrong = match parted {
            Some((_, by)) => format!("The cells are separated by {by}, not by commas."),
            None => "The first row names none of the columns that a table of jobs has.".to_owned(),
        };
        ledger.complain(Finding::new("bad-table-row", Span::start_of(ledger.file), wrong, remedy));
        return false;
    }
    let mut found = Vec::new();
    for (index, name) in header.iter().enumerate() {
        if header.iter().take(index).any(|earlier| earlier == name) {
            let wrong = format!("The column `{}` stands here for the second time.", shortened(name));
            found.push(Finding::new("bad-table-row", span(index), wrong, "Keep one of the two."));
        } else if !COLUMNS.contains(&name) {
            let wrong = format!("No column is called `{}`.", shortened(name));
            found.push(Finding::new("unknown-key", span(index), wrong, remedy_for(name, &mut missing)));
        }
    }
    let first = Span::start_of(ledger.file);
    found.extend(missing.iter().map(|name| {
        let wrong = format!("The column `{name}` is missing.");
        Finding::new("missing-field", first, wrong, format!("Add a column `{name}` to the first row."))
    }));
    let complete = NEEDED.into_iter().all(|name| header.iter().any(|known| known == name));
    found.into_iter().for_each(|finding| ledger.complain(finding));
    complete
}

/// What an unknown column should have been: first of all one that is missing, which then is not reported again.
fn remedy_for(name: &str, missing: &mut Vec<&str>) -> String {
    if let Some(known) = nearest(name, missing.iter().copied()) {
        missing.retain(|column| *column != known);
        return format!("Write `{known}`, which is missing.");
    }
    match nearest(name, COLUMNS) {
        Some(known) => format!("Write `{known}`, if that was meant."),
        None => format!("Take the column out. Known columns: {}.", COLUMNS.join(", ")),
    }
}

/// Where the cells of the row stand that begins at `start`.
fn cell_ranges(text: &str, start: usize) -> Vec<Range<usize>> {
    let (mut cells, mut from, mut quoted) = (Vec::new(), start, false);
    let mut end = text.len();
    for (at, byte) in text.bytes().enumerate().skip(start) {
        match byte {
            b'"' => quoted = !quoted,
            b',' if !quoted => {
                cells.push(trimmed(text, from..at));
                from = at + 1;
            }
            b'\r' | b'\n' if !quoted => {
                end = at;
                break;
            }
            _ => {}
        }
    }
    cells.push(trimmed(text, from..end));
    cells
}

fn trimmed(text: &str, range: Range<usize>) -> Range<usize> {
    let cell = text.get(range.clone()).unwrap_or("");
    if cell.trim().is_empty() {
        return range.start..range.start;
    }
    let start = range.start + (cell.len() - cell.trim_start().len());
    start..start + cell.trim().len()
}

fn read_row(
    row: Result<StringRecord, csv::Error>,
    header: &StringRecord,
    text: &str,
    ledger: &mut Ledger,
) -> Option<JobRecord> {
    match row {
        Ok(row) => {
            let span = row_span(&row, text, ledger);
            let cells = cell_ranges(text, span.start as usize);
            Row { header, row: &row, cells, span, ledger }.read()
        }
        Err(error) => {
            ledger.complain(bad_row(Span::start_of(ledger.file), &error.to_string()));
            None
        }
    }
}

fn row_span(row: &StringRecord, text: &str, ledger: &Ledger) -> Span {
    let start = row.position().map_or(0, |position| usize::try_from(position.byte()).unwrap_or(0));
    let rest = text.get(start..).unwrap_or("");
    let blank = rest.len() - rest.trim_start().len();
    let length = rest.trim_start().find(['\r', '\n']).unwrap_or(rest.trim_start().len());
    Span::new(ledger.file, start + blank..start + blank + length)
}

fn bad_row(span: Span, why: &str) -> Finding {
    let remedy =
        "Save the table as plain CSV, text in UTF-8, one job a row, the names of the columns in the first row.";
    Finding::new("bad-table-row", span, format!("The table cannot be read: {why}."), remedy)
}

struct Row<'r> {
    header: &'r StringRecord,
    row: &'r StringRecord,
    cells: Vec<Range<usize>>,
    span: Span,
    ledger: &'r mut Ledger,
}

impl Row<'_> {
    fn read(&mut self) -> Option<JobRecord> {
        if self.row.len() != self.header.len() {
            let wrong = format!("This row has {} cells, the first row has {}.", self.row.len(), self.header.len());
            let remedy = "Give every row one cell a column; put a cell that holds a comma between double quotes.";
            self.ledger.complain(Finding::new("bad-table-row", self.span, wrong, remedy));
            return None;
        }
        let date = self.date();
        let machine = self.needed("machine");
        let fault = self.needed("fault").and_then(|id| self.mention("fault", id, |id| Name::global(Kind::Fault, id)));
        let certainty = self.certainty();
        let variant = self.cell("variant");
        let variant = variant.and_then(|id| self.mention("variant", id, |id| Name::global(Kind::Variant, id)));
        let cause = self.cause(fault.as_ref());
        let cured = self.cured();
        let minutes = self.minutes();
        Some(JobRecord {
            serial: self.cell("serial"),
            edition: self.cell("edition"),
            name: self.cell("name"),
            answers: self.cell("answers"),
            guide: self.cell("guide"),
            readings: self.cell("readings"),
            span: self.span,
            date: date?,
            machine: machine?,
            fault: fault?,
            certainty: certainty?,
            variant,
            cause,
            cured,
            minutes,
        })
    }

    fn cell(&self, column: &str) -> Option<Located<String>> {
        let index = self.header.iter().position(|name| name == column)?;
        let text = self.row.get(index).filter(|text| !text.is_empty())?;
        Some(Located::new(text.to_owned(), self.span_of(index)))
    }

    fn span_of(&self, cell: usize) -> Span {
        self.cells.get(cell).map_or(self.span, |range| Span::new(self.ledger.file, range.clone()))
    }

    fn needed(&mut self, column: &str) -> Option<Located<String>> {
        let cell = self.cell(column);
        if cell.is_none() {
            let span = self.header.iter().position(|name| name == column).map_or(self.span, |cell| self.span_of(cell));
            self.complain(span, format!("The cell `{column}` is empty."), "Fill it in, or take the row out.");
        }
        cell
    }

    fn complain(&mut self, span: Span, wrong: String, remedy: &str) {
        self.ledger.complain(Finding::new("bad-table-row", span, wrong, remedy));
    }

    fn date(&mut self) -> Option<Located<Date>> {
        let cell = self.needed("date")?;
        match cell.value.parse::<Date>() {
            Ok(date) => Some(Located::new(date, cell.span)),
            Err(_) => {
                self.complain(
                    cell.span,
                    format!("\"{}\" is not a date.", shortened(&cell.value)),
                    "Write year-month-day, such as 2026-05-01.",
                );
                None
            }
        }
    }

    fn certainty(&mut self) -> Option<Located<Certainty>> {
        let cell = self.needed("outcome")?;
        let known = CERTAINTIES.iter().find(|(word, _)| *word == cell.value).map(|(_, certainty)| *certainty);
        if known.is_none() {
            let wrong = format!("`outcome` cannot be \"{}\".", shortened(&cell.value));
            self.complain(cell.span, wrong, "Write shown, inferred or unconfirmed.");
        }
        known.map(|certainty| Located::new(certainty, cell.span))
    }

    fn cured(&mut self) -> Option<Located<bool>> {
        let cell = self.cell("cured")?;
        match cell.value.as_str() {
            "yes" => Some(Located::new(true, cell.span)),
            "no" => Some(Located::new(false, cell.span)),
            other => {
                let wrong = format!("`cured` cannot be \"{}\".", shortened(other));
                self.complain(cell.span, wrong, "Write yes or no, or leave the cell empty.");
                None
            }
        }
    }

    fn minutes(&mut self) -> Option<Located<u32>> {
        let cell = self.cell("minutes")?;
        match cell.value.parse() {
            Ok(minutes) => Some(Located::new(minutes, cell.span)),
            Err(_) => {
                let wrong = format!("`minutes` cannot be \"{}\".", shortened(&cell.value));
                self.complain(cell.span, wrong, "Write a whole number of minutes.");
                None
            }
        }
    }

    fn cause(&mut self, fault: Option<&Link<crate::model::Fault>>) -> Option<Link<crate::model::Cause>> {
        let (cell, fault) = (self.cell("cause")?, fault?);
        self.mention("cause", cell, |id| Name::local(Kind::Cause, fault.as_str(), id))
    }

    fn mention<T>(
        &mut self,
        role: &'static str,
        cell: Located<String>,
        name: impl Fn(&str) -> Name,
    ) -> Option<Link<T>> {
        if !is_kebab(&cell.value) {
            let wrong = format!("\"{}\" is not an id.", shortened(&cell.value));
            self.complain(cell.span, wrong, "Write the id as the guide has it.");
            return None;
        }
        self.ledger.link(None, role, name(&cell.value), cell.span);
        Some(cell.map(Id::new))
    }
}
