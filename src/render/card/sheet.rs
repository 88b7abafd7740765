//! The faces of each size of card, and how high their content is. `style/card-*.css` say the same in
//! their own words.

use super::flow::Paragraph;
use super::metrics::Length;
use super::text::paragraphs;
use crate::render::views::card::{Block, Face, Size};

/// Type on the card: height of its letters and of its lines.
#[derive(Debug, Clone, Copy)]
struct Set {
    size: Length,
    line: Length,
}

/// A face: its inner width and height, and its type.
#[derive(Debug, Clone, Copy)]
pub(super) struct Sheet {
    width: Length,
    height: Length,
    title: Set,
    head: Set,
    text: Set,
    foot: Set,
    code: Length,
}

/// How much too high the content of a face is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Overflow {
    /// The first block that reaches over the end; none where the foot alone does.
    pub(super) block: Option<usize>,
    /// In whole millimetres.
    pub(super) over: u32,
    pub(super) room: u32,
}

/// A rule across the face, a gap between parts, the indent of a list, and what rounding may take.
const RULE: Length = 1_000;
const GAP: Length = 4_000;
const SMALL_GAP: Length = 2_000;
const BESIDE: Length = 6_000;
const INDENT: Length = 12_000;
const SPARE: Length = 3_000;
/// A millimetre is 72/25.4 points.
const MILLIMETRE: Length = 2_835;

const fn set(size: Length, line: Length) -> Set {
    Set { size, line }
}

impl Sheet {
    pub(super) fn of(size: Size) -> Self {
        let (title, head, text, foot, code);
        let (width, height, padding): (Length, Length, Length) = match size {
            Size::A6 => {
                (title, head, text, foot, code) =
                    (set(11_000, 13_000), set(9_000, 11_000), set(8_000, 10_000), set(7_000, 8_500), 20);
                (1050, 1480, 50)
            }
            Size::ThreeByFive => {
                (title, head, text, foot, code) =
                    (set(8_500, 10_000), set(7_500, 9_000), set(7_000, 8_500), set(7_000, 8_250), 18);
                (762, 1270, 40)
            }
            Size::FoldedA4 => {
                (title, head, text, foot, code) =
                    (set(13_000, 15_500), set(10_000, 12_000), set(8_500, 10_500), set(7_000, 8_750), 20);
                (1485, 2100, 90)
            }
        };
        let inner = |outer: Length| (outer - 2 * padding) * MILLIMETRE / 10;
        Self { width: inner(width), height: inner(height), title, head, text, foot, code: code * MILLIMETRE }
    }

    /// What is missing on a face, if anything.
    pub(super) fn overflow(&self, face: &Face) -> Option<Overflow> {
        let foot = self.foot(face);
        let limit = self.height.saturating_sub(foot + SPARE);
        let mut reached = self.lines(&Paragraph::plain(face.title.as_str(), true), self.title) + RULE + GAP + SMALL_GAP;
        let mut first = None;
        for (index, block) in face.blocks.iter().enumerate() {
            reached += self.block(block);
            if reached > limit && first.is_none() {
                first = Some(index);
            }
        }
        let over = reached.checked_sub(limit).filter(|over| *over > 0)?;
        let whole = |length: Length| u32::try_from(length).unwrap_or(u32::MAX);
        Some(Overflow { block: first, over: whole(over.div_ceil(MILLIMETRE)), room: whole(self.height / MILLIMETRE) })
    }

    fn lines(&self, paragraph: &Paragraph, set: Set) -> Length {
        paragraph.lines(set.size, self.width) * set.line
    }

    fn foot(&self, face: &Face) -> Length {
        let texts = paragraphs(&face.foot_html, INDENT);
        texts.iter().map(|paragraph| self.lines(paragraph, self.foot)).sum::<Length>() + RULE + SMALL_GAP + GAP
    }

    fn block(&self, block: &Block) -> Length {
        let head = self.lines(&Paragraph::plain(block.title.as_str(), true), self.head) + RULE;
        let prose = block.text_html.iter().flat_map(|html| paragraphs(html, INDENT));
        let cautions = block.steps_html.iter().flat_map(|html| paragraphs(html, INDENT));
        let items =
            block.items.iter().map(|item| paragraph_of(&[(&item.head, true), (" ", false), (&item.says, false)]));
        let sign = self.text.size + self.text.size / 2;
        let tags = block
            .tags
            .iter()
            .map(|tag| Paragraph { lead: sign, ..paragraph_of(&[(&tag.work.text, true), (&tag.says, false)]) });
        let texts: Length =
            prose.chain(cautions).chain(items).chain(tags).map(|it| self.lines(&it, self.text) + SMALL_GAP).sum();
        let rows: Length = block.rows.iter().map(|row| self.row(&row.says, &row.value)).sum();
        head + texts + rows + self.codes(block) + GAP + SMALL_GAP
    }

    /// A name and its value: on one line where both fit, else each on lines of its own.
    fn row(&self, says: &str, value: &str) -> Length {
        let (says, value) = (Paragraph::plain(says, false), Paragraph::plain(value, true));
        let together = says.natural(self.text.size) + BESIDE + value.natural(self.text.size);
        // A browser rounds each of the two widths up.
        let fits = together + RULE <= self.width;
        let lines = if fits { self.text.line } else { self.lines(&says, self.text) + self.lines(&value, self.text) };
        lines + RULE
    }

    /// Codes stand side by side in twos, each with its words beside it.
    fn codes(&self, block: &Block) -> Length {
        let columns: Length = if block.codes.len() > 1 { 2 } else { 1 };
        let each = (self.width - (columns - 1) * BESIDE) / columns;
        let beside = each.saturating_sub(self.code + BESIDE);
        let high = |code: &crate::render::views::card::Code| {
            let words = paragraphs(&code.says_html, INDENT);
            let words: Length =
                words.iter().map(|it| it.lines(self.text.size, beside) * self.text.line + SMALL_GAP).sum();
            words.max(self.code)
        };
        let rows = block.codes.chunks(if columns == 2 { 2 } else { 1 });
        rows.map(|row| row.iter().map(high).max().unwrap_or(0) + BESIDE).sum()
    }
}

fn paragraph_of(runs: &[(&str, bool)]) -> Paragraph {
    let runs = runs.iter().map(|(text, bold)| super::flow::Run { text: (*text).to_owned(), bold: *bold });
    Paragraph { runs: runs.collect(), ..Paragraph::default() }
}
