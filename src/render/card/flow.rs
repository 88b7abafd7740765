//! Breaks a paragraph into lines as a browser would, never into fewer.

use super::metrics::{Length, width};

/// A stretch of text in one weight.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Run {
    pub(super) text: String,
    pub(super) bold: bool,
}

/// One paragraph.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Paragraph {
    pub(super) runs: Vec<Run>,
    /// Room kept free at the start of every line.
    pub(super) indent: Length,
    /// Room taken on the first line, such as by a sign.
    pub(super) lead: Length,
}

/// Signs that never begin a line, and signs that never end one (UAX #14, rules LB13 and LB14, from memory).
const NEVER_FIRST: &[char] = &[')', ']', '}', '!', '?', ':', ';', ',', '.', '/', '…', '”', '’', '»'];
const NEVER_LAST: &[char] = &['(', '[', '{', '“', '‘', '«'];

impl Paragraph {
    pub(super) fn plain(text: impl Into<String>, bold: bool) -> Self {
        Self { runs: vec![Run { text: text.into(), bold }], ..Self::default() }
    }

    /// Its width if it had all the room it wants.
    pub(super) fn natural(&self, size: Length) -> Length {
        let words = self.words(size);
        words.iter().map(|word| word.space + word.width).sum::<Length>() + self.lead + self.indent
    }

    /// The lines it takes within a width; at least one where there is any text.
    pub(super) fn lines(&self, size: Length, room: Length) -> u64 {
        let room = room.saturating_sub(self.indent).max(1);
        let (mut lines, mut used) = (1, self.lead);
        let words = self.words(size);
        for word in &words {
            if used > 0 && used + word.space + word.width > room {
                lines += 1;
                used = 0;
            } else if used > 0 {
                used += word.space;
            }
            used += word.width;
            // What is longer than a line is broken anywhere.
            lines += used.saturating_sub(1) / room;
            used = if used > room { (used - 1) % room + 1 } else { used };
        }
        if words.is_empty() && self.lead == 0 { 0 } else { lines }
    }

    fn words(&self, size: Length) -> Vec<Word> {
        let mut words: Vec<Word> = Vec::new();
        let (mut space, mut glued) = (0, true);
        for run in &self.runs {
            for piece in run.text.split_inclusive(' ') {
                let text = piece.trim_end_matches(' ');
                if !text.is_empty() {
                    let glue = glued || text.starts_with(NEVER_FIRST);
                    let wide = width(text, run.bold, size);
                    match words.last_mut() {
                        Some(last) if glue || last.opens => {
                            last.width += space + wide;
                            last.opens = text.ends_with(NEVER_LAST);
                        }
                        _ => words.push(Word { space, width: wide, opens: text.ends_with(NEVER_LAST) }),
                    }
                    (space, glued) = (0, true);
                }
                if piece.len() > text.len() {
                    (space, glued) = (width(" ", run.bold, size), false);
                }
            }
        }
        words
    }
}

/// What stays together on a line, and the space before it.
struct Word {
    space: Length,
    width: Length,
    opens: bool,
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Ten figures and spaces: 0 is 1139 parts of 2048 wide, a space 569 (from memory of the type's metrics file).
    #[test]
    fn words_go_to_the_next_line_when_they_must() {
        let paragraph = Paragraph::plain("00 00 00", false);
        let word = 2 * 1139;
        assert_eq!(paragraph.natural(2048), 3 * word + 2 * 569);
        assert_eq!(paragraph.lines(2048, 3 * word + 2 * 569), 1);
        assert_eq!(paragraph.lines(2048, 3 * word + 2 * 569 - 1), 2);
        assert_eq!(paragraph.lines(2048, word), 3);
        assert_eq!(paragraph.lines(2048, 1139), 6);
        assert_eq!(Paragraph::plain("", false).lines(2048, 100), 0);
    }

    #[test]
    fn weights_meet_without_a_break_and_brackets_stay() {
        let runs = vec![Run { text: "0".into(), bold: true }, Run { text: "0 (".into(), bold: false }];
        let mut paragraph = Paragraph { runs, ..Paragraph::default() };
        paragraph.runs.push(Run { text: "0 )".into(), bold: false });
        assert_eq!(paragraph.words(2048).len(), 2);
    }
}
