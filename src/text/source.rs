//! The files of one run, and the way from a span to line and column.

use super::{FileId, Span};

/// One file as text, with its path inside the guide folder (always with `/`).
#[derive(Debug, Clone)]
pub struct Source {
    /// Path relative to the guide folder.
    pub path: String,
    /// The text; a byte order mark has been taken off.
    pub text: String,
    line_starts: Vec<u32>,
}

/// Line and column, both counted from 1; the column counts characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Position {
    /// Line, from 1.
    pub line: usize,
    /// Column in characters, from 1.
    pub column: usize,
}

impl Source {
    fn new(path: String, text: String) -> Self {
        let ends = text.bytes().enumerate().filter(|(_, byte)| *byte == b'\n');
        let starts = ends.map(|(at, _)| u32::try_from(at + 1).unwrap_or(u32::MAX));
        let line_starts = std::iter::once(0).chain(starts).collect();
        Self { path, text, line_starts }
    }

    /// The position of a byte; one past the end or inside a character is moved back to the nearest valid one.
    pub fn position(&self, offset: u32) -> Position {
        let offset = self.clamp(offset);
        let line = self.line_starts.partition_point(|start| *start as usize <= offset).max(1);
        let start = self.line_starts.get(line - 1).map_or(0, |start| *start as usize);
        let column = self.text.get(start..offset).map_or(0, |before| before.chars().count()) + 1;
        Position { line, column }
    }

    /// The text of a line counted from 1, without its line end.
    pub fn line(&self, line: usize) -> &str {
        let at = |line: usize| self.line_starts.get(line).map(|start| *start as usize);
        let Some(start) = at(line.saturating_sub(1)) else { return "" };
        let end = at(line.max(1)).map_or(self.text.len(), |next| next - 1);
        self.text.get(start..end).unwrap_or("").trim_end_matches('\r')
    }

    /// The text a span covers, after both ends were made valid.
    pub fn slice(&self, span: Span) -> &str {
        self.text.get(self.clamp(span.start)..self.clamp(span.end)).unwrap_or("")
    }

    fn clamp(&self, offset: u32) -> usize {
        let mut offset = (offset as usize).min(self.text.len());
        while !self.text.is_char_boundary(offset) {
            offset -= 1;
        }
        offset
    }
}

/// All files of one run.
#[derive(Debug, Clone, Default)]
pub struct Sources {
    files: Vec<Source>,
}

impl Sources {
    /// Takes a file in and gives it its number.
    pub fn add(&mut self, path: impl Into<String>, text: impl Into<String>) -> FileId {
        let id = FileId(u32::try_from(self.files.len()).unwrap_or(u32::MAX));
        self.files.push(Source::new(path.into(), text.into()));
        id
    }

    /// The number of the file at this path, if this run has read it.
    pub fn find(&self, path: &str) -> Option<FileId> {
        let index = self.files.iter().position(|file| file.path == path)?;
        u32::try_from(index).ok().map(FileId)
    }

    /// The file with this number, if this run has read it.
    pub fn get(&self, id: FileId) -> Option<&Source> {
        self.files.get(id.0 as usize)
    }

    /// The path of a file; empty for a number that was never given.
    pub fn path(&self, id: FileId) -> &str {
        self.get(id).map_or("", |source| source.path.as_str())
    }

    /// Where a span begins.
    pub fn position(&self, span: Span) -> Position {
        self.get(span.file).map_or(Position { line: 1, column: 1 }, |source| source.position(span.start))
    }

    /// All files, in the order they were read.
    pub fn iter(&self) -> impl Iterator<Item = &Source> {
        self.files.iter()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn positions_count_characters_and_survive_any_offset() {
        let mut sources = Sources::default();
        let file = sources.add("a.toml", "x = 1\nä = \"µm\"\n");
        let source = sources.get(file).unwrap();
        assert_eq!(source.position(0), Position { line: 1, column: 1 });
        assert_eq!(source.position(6), Position { line: 2, column: 1 });
        assert_eq!(source.position(7), Position { line: 2, column: 1 }, "inside a character");
        assert_eq!(source.position(8), Position { line: 2, column: 2 });
        assert_eq!(source.position(9_999), Position { line: 3, column: 1 });
        assert_eq!(source.line(2), "ä = \"µm\"");
    }
}
