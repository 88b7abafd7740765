//! A small pen for SVG: shapes and wrapped text, with places in whole units.

use std::fmt::Write;

use crate::render::markdown::escaped;

/// Size of text, in units.
pub(super) const TEXT: u32 = 13;

/// Height of a line of text.
pub(super) const LINE: u32 = 17;

/// Width to allow for a letter: wider than most, so that text never runs out of its room.
const LETTER: u32 = 7;

/// A drawing in the making.
#[derive(Default)]
pub(super) struct Pen {
    out: String,
}

impl Pen {
    /// A path.
    pub(super) fn path(&mut self, class: &str, data: &str, width: Option<u32>) {
        let width = width.map(|width| format!(" stroke-width=\"{width}\"")).unwrap_or_default();
        let _ = write!(self.out, "<path class=\"{class}\" d=\"{data}\"{width}/>");
    }

    /// Lines of text, one below the other; `y` is the base line of the first.
    pub(super) fn text(&mut self, class: &str, x: u32, y: u32, anchor: &str, lines: &[String]) {
        let anchor = if anchor == "start" { String::new() } else { format!(" text-anchor=\"{anchor}\"") };
        let class = if class.is_empty() { String::new() } else { format!(" class=\"{class}\"") };
        let _ = write!(self.out, "<text{class} x=\"{x}\" y=\"{y}\"{anchor}>");
        let mut lines = lines.iter();
        self.out.push_str(&lines.next().map(|line| escaped(line)).unwrap_or_default());
        for line in lines {
            let _ = write!(self.out, "<tspan x=\"{x}\" dy=\"{LINE}\">{}</tspan>", escaped(line));
        }
        self.out.push_str("</text>");
    }

    /// Markup as it stands.
    pub(super) fn raw(&mut self, markup: &str) {
        self.out.push_str(markup);
    }

    /// What is drawn by now.
    pub(super) fn out(self) -> String {
        self.out
    }

    /// Opens a link around what is drawn next.
    pub(super) fn open_link(&mut self, href: &str) {
        let _ = write!(self.out, "<a href=\"{}\">", escaped(href));
    }

    /// Closes a link.
    pub(super) fn close_link(&mut self) {
        self.out.push_str("</a>");
    }

    /// The finished drawing; `title` is read out in its place.
    pub(super) fn finish(self, id: &str, width: u32, height: u32, title: &str) -> String {
        format!(
            "<svg viewBox=\"0 0 {width} {height}\" width=\"{width}\" height=\"{height}\" font-size=\"{TEXT}\" role=\"group\" \
             aria-labelledby=\"{id}\"><title id=\"{id}\">{}</title>{}</svg>",
            escaped(title),
            self.out
        )
    }
}

/// Text broken into lines that fit into so many units.
pub(super) fn wrapped(text: &str, room: u32) -> Vec<String> {
    let letters = usize::try_from((room / LETTER).max(6)).unwrap_or(6);
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ').filter(|word| !word.is_empty()) {
        match lines.last_mut() {
            Some(line) if line.chars().count() + 1 + word.chars().count() <= letters => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    if lines.is_empty() {
        lines.push(String::new());
    }
    lines
}
