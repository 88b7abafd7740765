//! The paragraphs of a piece of HTML that the compiler wrote itself.

use super::flow::{Paragraph, Run};
use super::metrics::Length;

/// Elements that stand on lines of their own.
const BLOCKS: [&str; 15] =
    ["p", "li", "ul", "ol", "h1", "h2", "h3", "h4", "h5", "h6", "pre", "blockquote", "tr", "td", "br"];
/// Elements that are set in bold.
const BOLD: [&str; 9] = ["b", "strong", "th", "h1", "h2", "h3", "h4", "h5", "h6"];

/// The paragraphs of `html`; items of lists are indented.
pub(super) fn paragraphs(html: &str, indent: Length) -> Vec<Paragraph> {
    let mut reader = Reader { done: Vec::new(), now: Paragraph::default(), bold: 0, lists: 0, indent };
    let mut rest = html;
    while let Some((text, after)) = rest.split_once('<') {
        reader.text(text);
        let (tag, after) = after.split_once('>').unwrap_or((after, ""));
        reader.tag(tag);
        rest = after;
    }
    reader.text(rest);
    reader.end();
    reader.done
}

struct Reader {
    done: Vec<Paragraph>,
    now: Paragraph,
    bold: usize,
    lists: u64,
    indent: Length,
}

impl Reader {
    fn tag(&mut self, tag: &str) {
        let (name, opens) = match tag.strip_prefix('/') {
            Some(name) => (name, false),
            None => (tag, true),
        };
        let name = name.split([' ', '/', '\n']).next().unwrap_or_default();
        if BLOCKS.contains(&name) {
            self.end();
        }
        if matches!(name, "ul" | "ol" | "blockquote") {
            self.lists = if opens { self.lists + 1 } else { self.lists.saturating_sub(1) };
        }
        if BOLD.contains(&name) {
            self.bold = if opens { self.bold + 1 } else { self.bold.saturating_sub(1) };
        }
    }

    fn text(&mut self, text: &str) {
        let mut plain = String::with_capacity(text.len());
        for sign in unescaped(text).chars() {
            let space = matches!(sign, ' ' | '\n' | '\t');
            if space && (plain.ends_with(' ') || (plain.is_empty() && self.ends_open())) {
                continue;
            }
            plain.push(if space { ' ' } else { sign });
        }
        if !plain.is_empty() {
            self.now.runs.push(Run { text: plain, bold: self.bold > 0 });
        }
    }

    /// Whether a space here would be one too many.
    fn ends_open(&self) -> bool {
        self.now.runs.last().is_none_or(|run| run.text.ends_with(' '))
    }

    fn end(&mut self) {
        let ended = std::mem::take(&mut self.now);
        if ended.runs.iter().any(|run| !run.text.trim().is_empty()) {
            self.done.push(Paragraph { indent: self.lists * self.indent, ..ended });
        }
    }
}

/// The five references that the compiler writes.
fn unescaped(text: &str) -> String {
    let pairs = [("&lt;", "<"), ("&gt;", ">"), ("&quot;", "\""), ("&#39;", "'"), ("&#x27;", "'"), ("&amp;", "&")];
    pairs.into_iter().fold(text.to_owned(), |text, (from, to)| text.replace(from, to))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn paragraphs_lists_and_weights_are_seen() {
        let found = paragraphs("<p><strong>A</strong> b &amp; c\nd</p>\n<ul>\n<li>e</li>\n<li><p>f</p></li></ul>", 7);
        let texts: Vec<(String, Length)> = found
            .iter()
            .map(|it| (it.runs.iter().map(|run| run.text.as_str()).collect::<String>(), it.indent))
            .collect();
        assert_eq!(texts, [("A b & c d".to_owned(), 0), ("e".to_owned(), 7), ("f".to_owned(), 7)]);
        assert!(found[0].runs[0].bold && !found[0].runs[1].bold);
    }

    #[test]
    fn broken_html_does_no_harm() {
        for html in ["<", "</", "<p", "a</b></ul>b", "&", ""] {
            paragraphs(html, 1);
        }
    }
}
