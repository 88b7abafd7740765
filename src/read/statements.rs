//! Where the statements of a TOML file begin and end, found without understanding their values.
//!
//! Up to its first slip a text can be cut exactly; behind a slip the next line that looks like a header or like
//! `key =` is taken for the next statement. So an open bracket costs one statement and not the rest of the file.

use std::ops::Range;

/// Brackets and braces open at once; more than anything in a guide needs.
const DEEPEST: usize = 40;

/// Dots in one key.
const MOST_DOTS: usize = 20;

/// Slips after which the rest of a file is given up: it is hardly TOML.
const MOST_SLIPS: usize = 50;

/// One header, or one key with its value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Statement {
    pub(super) range: Range<usize>,
    pub(super) is_header: bool,
}

/// What can be seen to be wrong without understanding values.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum SlipKind {
    OpenText,
    OpenLongText,
    OpenBracket,
    OpenBrace,
    TooDeep,
    ThirdBracket,
    NotAKey,
    /// Good in TOML 1.1 but not in 1.0: the value can be read all the same.
    LongTable,
    LastComma,
    Escape,
}

/// One slip.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Slip {
    pub(super) kind: SlipKind,
    pub(super) at: Range<usize>,
    /// The number of the statement it stands in.
    pub(super) statement: usize,
}

/// A text cut into statements.
#[derive(Debug, Default)]
pub(super) struct Cut {
    pub(super) statements: Vec<Statement>,
    pub(super) slips: Vec<Slip>,
}

impl SlipKind {
    /// True where the value could be read.
    pub(super) fn is_dialect(self) -> bool {
        matches!(self, Self::LongTable | Self::LastComma | Self::Escape)
    }
}

/// Cuts a text.
pub(super) fn cut(text: &str) -> Cut {
    let mut cut = Cut::default();
    let (mut at, mut damaged) = (0, 0);
    while let Some(start) = next_visible(text, at) {
        let mut scan = Scan::new(text, start, cut.statements.len());
        let end = if damaged >= MOST_SLIPS { text.len() } else { scan.run() };
        let is_header = text.as_bytes().get(start) == Some(&b'[');
        cut.statements.push(Statement { range: start..end, is_header });
        damaged += scan.slips.iter().filter(|slip| !slip.kind.is_dialect()).count();
        cut.slips.append(&mut scan.slips);
        at = end;
    }
    cut
}

/// The next byte that is neither blank nor in a comment, outside of any value.
fn next_visible(text: &str, mut at: usize) -> Option<usize> {
    loop {
        let rest = text.get(at..)?;
        at += rest.len() - rest.trim_start_matches([' ', '\t', '\r', '\n']).len();
        if !text.get(at..)?.starts_with('#') {
            return (at < text.len()).then_some(at);
        }
        at = line_end(text, at);
    }
}

fn line_end(text: &str, at: usize) -> usize {
    text.get(at..).and_then(|rest| rest.find('\n')).map_or(text.len(), |length| at + length)
}

/// True where a line is a table header and nothing else.
fn is_header(line: &str) -> bool {
    let line = line.split('#').next().unwrap_or("").trim();
    let inner = line.strip_prefix('[').and_then(|line| line.strip_suffix(']'));
    let inner = inner.map(|inner| inner.strip_prefix('[').and_then(|it| it.strip_suffix(']')).unwrap_or(inner));
    inner.is_some_and(|inner| {
        let key = |letter: char| letter.is_ascii_alphanumeric() || matches!(letter, '-' | '_' | '.' | ' ');
        inner.starts_with(|letter: char| letter.is_ascii_alphabetic()) && inner.chars().all(key)
    })
}

/// True where a line begins with `key =`.
fn is_pair(line: &str) -> bool {
    let Some((key, _)) = line.split_once('=') else { return false };
    let key = key.trim();
    let plain = |letter: char| letter.is_ascii_alphanumeric() || matches!(letter, '-' | '_' | '.');
    key.starts_with(|letter: char| letter.is_ascii_alphabetic()) && key.len() <= 200 && key.chars().all(plain)
}

/// One statement being scanned.
struct Scan<'t> {
    text: &'t str,
    start: usize,
    number: usize,
    at: usize,
    /// What is open: the bracket and its place.
    open: Vec<(u8, usize)>,
    dots: usize,
    /// The end of the first line inside braces.
    first_break: Option<usize>,
    /// The last byte that was neither blank nor in a comment, and its place.
    last: (u8, usize),
    slips: Vec<Slip>,
}

impl<'t> Scan<'t> {
    fn new(text: &'t str, start: usize, number: usize) -> Self {
        let (open, slips) = (Vec::new(), Vec::new());
        Self { text, start, number, at: start, open, dots: 0, first_break: None, last: (0, start), slips }
    }

    /// The end of the statement.
    fn run(&mut self) -> usize {
        let line = self.text.get(self.start..line_end(self.text, self.start)).unwrap_or("");
        if line.starts_with('[') {
            return self.header(line);
        }
        if !begins_with_key(line) {
            return self.slip_to(SlipKind::NotAKey, self.start..self.start + line.trim_end().len(), self.line_end());
        }
        while let Some(byte) = self.text.as_bytes().get(self.at).copied() {
            if let Some(end) = self.step(byte) {
                return end;
            }
        }
        self.at_end()
    }

    fn header(&mut self, line: &str) -> usize {
        if line.matches('.').count() > MOST_DOTS {
            self.slip(SlipKind::TooDeep, self.start..self.start + 1);
        }
        if line.starts_with("[[[") {
            self.slip(SlipKind::ThirdBracket, self.start..self.start + 3);
        }
        self.line_end()
    }

    /// Goes past one token; the end of the statement, if it ends here.
    fn step(&mut self, byte: u8) -> Option<usize> {
        match byte {
            b'"' | b'\'' => return self.string(byte),
            b'\n' => return self.line_break(),
            b'#' => {
                self.at = self.line_end();
                return None;
            }
            b'[' | b'{' => {
                self.open.push((byte, self.at));
                if self.open.len() > DEEPEST {
                    return Some(self.slip_to(SlipKind::TooDeep, self.at..self.at + 1, self.next_statement()));
                }
            }
            b']' | b'}' => self.close(byte),
            b'.' => {
                self.dots += 1;
                if self.dots > MOST_DOTS {
                    return Some(self.slip_to(SlipKind::TooDeep, self.start..self.at, self.next_statement()));
                }
            }
            b'=' | b',' => self.dots = 0,
            _ => {}
        }
        if !byte.is_ascii_whitespace() {
            self.last = (byte, self.at);
        }
        self.at += 1;
        None
    }

    fn close(&mut self, byte: u8) {
        let matching = if byte == b']' { b'[' } else { b'{' };
        if self.open.last().is_some_and(|(open, _)| *open == matching) {
            self.open.pop();
        }
        if byte == b'}' && self.last.0 == b',' {
            self.slip(SlipKind::LastComma, self.last.1..self.last.1 + 1);
        }
    }

    fn line_break(&mut self) -> Option<usize> {
        let Some((innermost, opened)) = self.open.last().copied() else {
            self.end();
            return Some(self.at);
        };
        let next = self.text.get(self.at + 1..line_end(self.text, self.at + 1)).unwrap_or("");
        if innermost == b'{' && self.first_break.is_none() {
            self.first_break = Some(self.at);
        }
        let header = is_header(next);
        if innermost == b'{' && header {
            return Some(self.unclosed_brace(opened));
        }
        if innermost == b'[' && (header || is_pair(next)) {
            return Some(self.slip_to(SlipKind::OpenBracket, opened..opened + 1, self.at));
        }
        self.at += 1;
        None
    }

    fn unclosed_brace(&mut self, opened: usize) -> usize {
        let end = self.first_break.unwrap_or(self.at);
        self.slips.clear();
        self.slip_to(SlipKind::OpenBrace, opened..opened + 1, end)
    }

    fn at_end(&mut self) -> usize {
        match self.open.last().copied() {
            Some((b'{', opened)) => self.unclosed_brace(opened),
            Some((_, opened)) => self.slip_to(SlipKind::OpenBracket, opened..opened + 1, self.text.len()),
            None => {
                self.end();
                self.text.len()
            }
        }
    }

    /// Goes past a text in quotes.
    fn string(&mut self, quote: u8) -> Option<usize> {
        let opened = self.at;
        let rest = self.text.as_bytes().get(opened..).unwrap_or_default();
        let long = rest.starts_with(&[quote; 3]);
        self.at += if long { 3 } else { 1 };
        self.last = (quote, opened);
        while let Some(byte) = self.text.as_bytes().get(self.at).copied() {
            match byte {
                b'\\' if quote == b'"' => self.escape(),
                b'\n' if !long => return Some(self.unclosed_text(opened)),
                _ if byte == quote => {
                    let run = self.text.as_bytes().iter().skip(self.at).take_while(|it| **it == quote).count();
                    if !long || run >= 3 {
                        self.at += if long { run.min(5) } else { 1 };
                        return None;
                    }
                    self.at += run;
                }
                _ => self.at += 1,
            }
        }
        match long {
            true => Some(self.slip_to(SlipKind::OpenLongText, opened..opened + 3, self.next_header(opened))),
            false => Some(self.unclosed_text(opened)),
        }
    }

    fn unclosed_text(&mut self, opened: usize) -> usize {
        let end = if self.open.is_empty() { self.at } else { self.next_statement() };
        self.slip_to(SlipKind::OpenText, opened..self.at, end)
    }

    fn escape(&mut self) {
        let next = self.text.as_bytes().get(self.at + 1).copied();
        if matches!(next, Some(b'e' | b'x')) {
            self.slip(SlipKind::Escape, self.at..self.at + 2);
        }
        let ends_line = matches!(next, Some(b'\n') | None);
        self.at += if ends_line { 1 } else { 2 };
    }

    /// Ends a statement that could be read: says so where it only holds in the newer dialect.
    fn end(&mut self) {
        if let Some(first) = self.first_break.take() {
            self.slip(SlipKind::LongTable, first..first);
        }
    }

    fn slip(&mut self, kind: SlipKind, at: Range<usize>) {
        if self.slips.is_empty() {
            self.slips.push(Slip { kind, at, statement: self.number });
        }
    }

    fn slip_to(&mut self, kind: SlipKind, at: Range<usize>, end: usize) -> usize {
        self.slips.retain(|slip| !slip.kind.is_dialect());
        self.slip(kind, at);
        end
    }

    fn line_end(&self) -> usize {
        line_end(self.text, self.at)
    }

    /// The next line that looks like a statement.
    fn next_statement(&self) -> usize {
        self.next_line(self.at, |line| is_header(line) || is_pair(line))
    }

    fn next_header(&self, from: usize) -> usize {
        self.next_line(from, is_header)
    }

    fn next_line(&self, from: usize, wanted: impl Fn(&str) -> bool) -> usize {
        let mut at = line_end(self.text, from);
        while at < self.text.len() {
            let end = line_end(self.text, at + 1);
            if self.text.get(at + 1..end).is_some_and(&wanted) {
                return at;
            }
            at = end;
        }
        self.text.len()
    }
}

/// True for `key =`, however the key is quoted or dotted; the parser judges the rest.
fn begins_with_key(line: &str) -> bool {
    let plain = line.starts_with(|letter: char| letter.is_alphanumeric() || matches!(letter, '-' | '_' | '"' | '\''));
    plain && line.contains('=')
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pieces(text: &str) -> (Vec<&str>, Vec<SlipKind>) {
        let cut = cut(text);
        let pieces = cut.statements.iter().map(|it| text.get(it.range.clone()).unwrap().trim_end()).collect();
        (pieces, cut.slips.iter().map(|slip| slip.kind).collect())
    }

    #[test]
    fn good_text_is_cut_at_its_statements() {
        let text = "# x\n[a] # y\nb = [1, # ]\n 2]\nc = \"\"\"\nd = 1\n\"\"\" # z\n[[e]]\nf = { g = '}' }";
        let (found, slips) = pieces(text);
        let expected = ["[a] # y", "b = [1, # ]\n 2]", "c = \"\"\"\nd = 1\n\"\"\" # z", "[[e]]", "f = { g = '}' }"];
        assert_eq!((found, slips), (expected.to_vec(), vec![]));
    }

    #[test]
    fn a_slip_costs_one_statement() {
        let cases = [
            ("a = [1,\nb = 2\n[c]", vec!["a = [1,", "b = 2", "[c]"], SlipKind::OpenBracket),
            ("a = \"x\nb = 2", vec!["a = \"x", "b = 2"], SlipKind::OpenText),
            ("a = { x = 1\nb = 2\n[c]", vec!["a = { x = 1", "b = 2", "[c]"], SlipKind::OpenBrace),
            ("a = \"\"\"x\ny\n[c]", vec!["a = \"\"\"x\ny", "[c]"], SlipKind::OpenLongText),
            ("words\nb = 2", vec!["words", "b = 2"], SlipKind::NotAKey),
            ("[[[a]]]\nb = 2\n[c]", vec!["[[[a]]]", "b = 2", "[c]"], SlipKind::ThirdBracket),
            ("a = {\n x = 1 }\nb = 2", vec!["a = {\n x = 1 }", "b = 2"], SlipKind::LongTable),
        ];
        for (text, expected, slip) in cases {
            assert_eq!(pieces(text), (expected, vec![slip]), "{text}");
        }
    }

    #[test]
    fn a_list_of_lists_is_no_header() {
        assert_eq!(pieces("a = [\n[1, 2],\n[3]\n]\nb = 1").1, []);
    }
}
