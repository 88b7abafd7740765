//! `results/*.csv`: job records, one a row (RFC 4180, with a header row).

use csv::{ReaderBuilder, StringRecord, Trim};
use jiff::civil::Date;

use super::ledger::Ledger;
use super::links::{is_kebab, shortened};
use crate::model::{Id, JobRecord, Kind, Link, Name, Outcome};
use crate::report::Finding;
use crate::text::{Located, Span, nearest};

const COLUMNS: [&str; 12] = [
    "date", "machine", "variant", "serial", "edition", "fault", "cause", "outcome", "cured", "minutes", "name",
    "answers",
];

/// Columns without which a row says nothing.
const NEEDED: [&str; 4] = ["date", "machine", "fault", "outcome"];

const OUTCOMES: [(&str, Outcome); 3] =
    [("shown", Outcome::Shown), ("inferred", Outcome::Inferred), ("unconfirmed", Outcome::Unconfirmed)];

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
    let span = Span::new(ledger.file, 0..text.find(['\r', '\n']).unwrap_or(text.len()));
    for name in header.iter().filter(|name| !COLUMNS.contains(name)) {
        let remedy = match nearest(name, COLUMNS) {
            Some(known) => format!("Write `{known}`, if that was meant."),
            None => format!("Take the column out. Known columns: {}.", COLUMNS.join(", ")),
        };
        ledger.complain(Finding::new(
            "unknown-key",
            span,
            format!("No column is called `{}`.", shortened(name)),
            remedy,
        ));
    }
    let missing: Vec<&str> = NEEDED.into_iter().filter(|name| !header.iter().any(|known| known == *name)).collect();
    for name in &missing {
        let wrong = format!("The column `{name}` is missing.");
        ledger.complain(Finding::new("missing-field", span, wrong, format!("Add a column `{name}` to the first row.")));
    }
    missing.is_empty()
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
            Row { header, row: &row, span, ledger }.read()
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
        let outcome = self.outcome();
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
            span: self.span,
            date: date?,
            machine: machine?,
            fault: fault?,
            outcome: outcome?,
            variant,
            cause,
            cured,
            minutes,
        })
    }

    fn cell(&self, column: &str) -> Option<Located<String>> {
        let index = self.header.iter().position(|name| name == column)?;
        let text = self.row.get(index).filter(|text| !text.is_empty())?;
        Some(Located::new(text.to_owned(), self.span))
    }

    fn needed(&mut self, column: &str) -> Option<Located<String>> {
        let cell = self.cell(column);
        if cell.is_none() {
            self.complain(format!("The cell `{column}` is empty."), "Fill it in, or take the row out.");
        }
        cell
    }

    fn complain(&mut self, wrong: String, remedy: &str) {
        self.ledger.complain(Finding::new("bad-table-row", self.span, wrong, remedy));
    }

    fn date(&mut self) -> Option<Located<Date>> {
        let cell = self.needed("date")?;
        match cell.value.parse::<Date>() {
            Ok(date) => Some(Located::new(date, cell.span)),
            Err(_) => {
                self.complain(
                    format!("\"{}\" is not a date.", shortened(&cell.value)),
                    "Write year-month-day, such as 2026-05-01.",
                );
                None
            }
        }
    }

    fn outcome(&mut self) -> Option<Located<Outcome>> {
        let cell = self.needed("outcome")?;
        let known = OUTCOMES.iter().find(|(word, _)| *word == cell.value).map(|(_, outcome)| *outcome);
        if known.is_none() {
            let wrong = format!("`outcome` cannot be \"{}\".", shortened(&cell.value));
            self.complain(wrong, "Write shown, inferred or unconfirmed.");
        }
        known.map(|outcome| Located::new(outcome, cell.span))
    }

    fn cured(&mut self) -> Option<Located<bool>> {
        let cell = self.cell("cured")?;
        match cell.value.as_str() {
            "yes" => Some(Located::new(true, cell.span)),
            "no" => Some(Located::new(false, cell.span)),
            other => {
                let wrong = format!("`cured` cannot be \"{}\".", shortened(other));
                self.complain(wrong, "Write yes or no, or leave the cell empty.");
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
                self.complain(wrong, "Write a whole number of minutes.");
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
            self.complain(format!("\"{}\" is not an id.", shortened(&cell.value)), "Write the id as the guide has it.");
            return None;
        }
        self.ledger.link(None, role, name(&cell.value), cell.span);
        Some(cell.map(Id::new))
    }
}
