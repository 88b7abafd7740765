//! Reporting TOML that cannot be read.

use toml::de::Error;

use super::ledger::Ledger;
use crate::report::Finding;
use crate::text::Span;

/// At most this many syntax errors of one file are reported; more of them come from the first ones.
const MOST: usize = 20;

/// Reports syntax errors, one a line, and silences rules about the file. True where there were any.
///
/// `offset` is where the TOML begins in its file.
pub(super) fn report(errors: &[Error], text: &str, offset: usize, ledger: &mut Ledger) -> bool {
    let mut last_line = None;
    for error in errors.iter().take(MOST) {
        let range = error.span().unwrap_or(0..0);
        let line = text.get(..range.start.min(text.len())).map_or(0, |before| before.matches('\n').count());
        if last_line.replace(line) == Some(line) {
            continue;
        }
        let span = Span::new(ledger.file, range.start + offset..range.end + offset);
        ledger.complain(worded(error.message(), span));
    }
    if !errors.is_empty() {
        ledger.silenced.push(Span::new(ledger.file, 0..usize::MAX));
    }
    !errors.is_empty()
}

fn worded(message: &str, span: Span) -> Finding {
    let says = message.lines().next().unwrap_or(message);
    if says.contains("duplicate key") {
        let remedy = "Keep one of them. A list of tables needs double brackets, such as [[cause]].";
        return Finding::new("toml-syntax", span, "The same key or table stands here a second time.", remedy);
    }
    if says.contains("recurs") {
        let remedy = "Take out brackets and braces until at most 80 are open at once.";
        return Finding::new("toml-syntax", span, "Lists or tables are nested too deep here.", remedy);
    }
    Finding::new("toml-syntax", span, format!("The TOML cannot be read from here on: {says}."), remedy(says))
}

fn remedy(says: &str) -> &'static str {
    if says.contains("string") {
        "Close the text with the quote it began with; text over several lines stands between three quotes."
    } else if says.contains("array") || says.contains("inline table") || says.contains("bracket") {
        "Close every bracket and brace, and put a comma between values."
    } else {
        "Write one `key = value` on a line: text in double quotes, numbers and dates without, lists in square brackets."
    }
}
