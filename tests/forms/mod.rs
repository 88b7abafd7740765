//! One mistake, one finding: each kind of mistake, alone, in each kind of file.

mod alone;
mod named;

use std::collections::BTreeMap;

use bayleaf::desk::MemoryDesk;
use bayleaf::pipeline;
use jiff::civil::{Date, date};

use crate::guides::base;

/// A mistake: in `file`, `put` stands instead of `find`. The one finding begins where `at` begins in `put`.
struct Mistake {
    file: &'static str,
    find: &'static str,
    put: &'static str,
    rule: &'static str,
    at: &'static str,
}

const fn mistake(
    file: &'static str,
    find: &'static str,
    put: &'static str,
    rule: &'static str,
    at: &'static str,
) -> Mistake {
    Mistake { file, find, put, rule, at }
}

/// Rule, path, line and column of every finding of a guide.
pub(crate) fn findings(files: BTreeMap<String, Vec<u8>>) -> Vec<(String, String, usize, usize)> {
    findings_on(files, date(2026, 2, 1))
}

/// The same on another day.
pub(crate) fn findings_on(files: BTreeMap<String, Vec<u8>>, day: Date) -> Vec<(String, String, usize, usize)> {
    let desk = files.into_iter().fold(MemoryDesk::new(), |desk, (path, bytes)| desk.with(path, bytes));
    let inspected = pipeline::inspect(&desk, Some(day));
    let sources = &inspected.draft.sources;
    let told = inspected.report.findings.iter().map(|judged| {
        let position = sources.position(judged.finding.span);
        let path = sources.path(judged.finding.span.file).to_owned();
        (judged.rule.name.to_owned(), path, position.line, position.column)
    });
    told.collect()
}

/// Line and column of a byte, counted anew here so that a slip in the program does not hide itself.
pub(crate) fn line_and_column(text: &str, byte: usize) -> (usize, usize) {
    let before = &text[..byte];
    let line = before.matches('\n').count() + 1;
    let column = before.rsplit('\n').next().unwrap().chars().count() + 1;
    (line, column)
}

impl Mistake {
    fn check(&self) -> Result<(), String> {
        let mut files = base();
        let text = String::from_utf8(files[self.file].clone()).unwrap();
        let start = text.find(self.find).unwrap_or_else(|| panic!("{} holds no {:?}", self.file, self.find));
        let text = text.replacen(self.find, self.put, 1);
        let (line, column) = line_and_column(&text, self.place(&text, start));
        files.insert(self.file.to_owned(), text.into_bytes());
        let expected = vec![(self.rule.to_owned(), self.file.to_owned(), line, column)];
        let found = findings(files);
        if found == expected {
            return Ok(());
        }
        Err(format!("{} {:?}:\n  expected {expected:?}\n  found    {found:?}", self.file, self.put))
    }
}

impl Mistake {
    /// The byte of the changed text at which the finding begins; `start` is that of the change.
    fn place(&self, text: &str, start: usize) -> usize {
        match (self.at, self.at.strip_prefix('@')) {
            ("^", _) => 0,
            ("!", _) => start + self.put.len(),
            (last, _) if last.starts_with('~') => start + self.put.rfind(&last[1..]).unwrap(),
            (_, Some(piece)) => text[..start].rfind(piece).or_else(|| text.find(piece)).unwrap(),
            _ => start + self.put.find(self.at).unwrap_or_else(|| panic!("{:?} holds no {:?}", self.put, self.at)),
        }
    }
}

fn check_all(mistakes: &[Mistake]) {
    let wrong: Vec<String> = mistakes.iter().filter_map(|mistake| mistake.check().err()).collect();
    assert!(wrong.is_empty(), "{} of {} mistakes:\n{}", wrong.len(), mistakes.len(), wrong.join("\n"));
}
