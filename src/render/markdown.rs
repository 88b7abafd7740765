//! Markdown to HTML. Raw HTML is shown as text, unknown targets lose their link: a page never carries foreign markup.

use std::fmt::Write;
use std::iter::Peekable;

use pulldown_cmark::{CodeBlockKind, Event, LinkType, Options, Parser, Tag, TagEnd, html};

use super::{highlight, written_tables};
use crate::model::Kind;
use crate::read::prose::{Target, is_picture_name, target_of};

/// Finds what links and pictures of a text stand for.
pub trait Resolve {
    /// Address and title of an entry, seen from the page the text stands on.
    fn entry(&self, kind: Kind, id: &str) -> Option<(String, String)>;

    /// Address and size in pixels of a picture of `media/`.
    fn picture(&self, file: &str) -> Option<(String, Option<(u32, u32)>)>;
}

/// The level of a text's highest headings, whatever it calls them; the page itself has the one above.
const TOP_HEADING: usize = 2;

/// A text as HTML blocks. Headings get ids that begin with `prefix`.
pub fn blocks(text: &str, resolve: &dyn Resolve, prefix: &str) -> String {
    let mut out = String::new();
    html::push_html(&mut out, written_tables::finished(Filter::new(text, resolve, prefix)).into_iter());
    out
}

/// A text of one paragraph as HTML without its `<p>`; more paragraphs are kept as they are.
pub fn inline(text: &str, resolve: &dyn Resolve) -> String {
    let out = blocks(text, resolve, "");
    let trimmed = out.trim();
    match trimmed.strip_prefix("<p>").and_then(|rest| rest.strip_suffix("</p>")) {
        Some(inner) if !inner.contains("<p>") => inner.to_owned(),
        _ => trimmed.to_owned(),
    }
}

/// The words of a text, for search and for places that take no markup. A link without words gives the title of its
/// entry, a picture its description.
pub fn plain(text: &str, resolve: &dyn Resolve) -> String {
    let mut out = String::new();
    // Open links: where their words begin, and what they lead to.
    let mut links = Vec::new();
    for event in Parser::new_ext(text, options()) {
        match event {
            Event::Text(words) | Event::Code(words) | Event::Html(words) | Event::InlineHtml(words) => {
                out.push_str(&words);
            }
            Event::Start(Tag::Link { dest_url, .. }) => links.push((out.len(), dest_url)),
            Event::End(TagEnd::Link) => {
                let link = links.pop().filter(|(start, _)| *start == out.len());
                out.extend(link.and_then(|(_, target)| title_of(&target, resolve)));
            }
            Event::Start(tag) if is_inline(tag.to_end()) => {}
            Event::End(tag) if is_inline(tag) => {}
            _ => out.push(' '),
        }
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// True for markup inside a line: it parts no words.
fn is_inline(tag: TagEnd) -> bool {
    matches!(tag, TagEnd::Emphasis | TagEnd::Strong | TagEnd::Link | TagEnd::Image)
}

fn title_of(target: &str, resolve: &dyn Resolve) -> Option<String> {
    match target_of(target) {
        Target::Entry(kind, id) => resolve.entry(kind, id).map(|(_, title)| title),
        _ => None,
    }
}

/// Parser events with links resolved, raw HTML made text, headings shifted and code highlighted.
struct Filter<'t, 'r> {
    parser: Peekable<Parser<'t>>,
    resolve: &'r dyn Resolve,
    prefix: &'r str,
    /// Open links; true where the link is kept.
    links: Vec<bool>,
    /// Events to give out before the next one of the parser.
    ahead: Vec<Event<'t>>,
    headings: usize,
    /// How much lower the highest heading of the text stands than its writer says.
    lowered: usize,
    /// The level of the heading last begun.
    level: usize,
}

impl<'t, 'r> Filter<'t, 'r> {
    fn new(text: &'t str, resolve: &'r dyn Resolve, prefix: &'r str) -> Self {
        let parser = Parser::new_ext(text, options()).peekable();
        let lowered = TOP_HEADING.saturating_sub(highest(text).unwrap_or(TOP_HEADING));
        let level = TOP_HEADING - 1;
        Self { parser, resolve, prefix, links: Vec::new(), ahead: Vec::new(), headings: 0, lowered, level }
    }

    fn open_link(&mut self, link_type: LinkType, target: &str) -> Option<Event<'t>> {
        let opened = match target_of(target) {
            Target::Entry(kind, id) => self.resolve.entry(kind, id).map(|(href, title)| {
                // `[](part:pump)` has no words of its own: it takes the title of what it names.
                let empty = matches!(self.parser.peek(), Some(Event::End(TagEnd::Link)));
                (anchor(&href, false), empty.then_some(title))
            }),
            Target::Outside(address) => Some((anchor(address, true), None)),
            // `<pump@example.org>`: the parser has found it to be a mail address and nothing else.
            Target::Refused if link_type == LinkType::Email => Some((anchor(&format!("mailto:{target}"), true), None)),
            Target::Refused => None,
        };
        self.links.push(opened.is_some());
        let (tag, title) = opened?;
        if let Some(title) = title {
            self.ahead.push(Event::Text(title.into()));
        }
        Some(Event::InlineHtml(tag.into()))
    }

    fn filtered(&mut self, event: Event<'t>) -> Option<Event<'t>> {
        match event {
            Event::Html(text) | Event::InlineHtml(text) => Some(Event::Text(text)),
            Event::Start(Tag::Link { link_type, dest_url, .. }) => self.open_link(link_type, &dest_url),
            Event::End(TagEnd::Link) => self.links.pop()?.then(|| Event::InlineHtml("</a>".into())),
            Event::Start(Tag::Image { dest_url, .. }) => Some(self.picture(&dest_url)),
            Event::Start(Tag::Heading { .. }) | Event::End(TagEnd::Heading(_)) => Some(self.heading(event)),
            Event::Start(Tag::CodeBlock(kind)) => Some(self.code(&kind)),
            other => Some(other),
        }
    }

    fn picture(&mut self, target: &str) -> Event<'t> {
        let description = self.words_until(TagEnd::Image);
        let found = if is_picture_name(target) { self.resolve.picture(target) } else { None };
        let Some((src, size)) = found else { return Event::Text(description.into()) };
        let mut tag = format!("<img src=\"{}\" alt=\"{}\"", escaped(&src), escaped(&description));
        if let Some((width, height)) = size {
            let _ = write!(tag, " width=\"{width}\" height=\"{height}\"");
        }
        tag.push('>');
        Event::InlineHtml(tag.into())
    }

    fn heading(&mut self, event: Event<'t>) -> Event<'t> {
        match event {
            Event::Start(Tag::Heading { level, .. }) => {
                self.headings += 1;
                // A level that the writer skipped is not skipped on the page.
                self.level = (level as usize + self.lowered).min(self.level + 1).min(6);
                let level = self.level;
                let id = if self.prefix.is_empty() {
                    String::new()
                } else {
                    format!(" id=\"{}-{}\"", self.prefix, self.headings)
                };
                Event::Html(format!("<h{level}{id}>").into())
            }
            Event::End(TagEnd::Heading(_)) => Event::Html(format!("</h{}>\n", self.level).into()),
            other => other,
        }
    }

    fn code(&mut self, kind: &CodeBlockKind<'_>) -> Event<'t> {
        let text = self.words_until(TagEnd::CodeBlock);
        let language = match kind {
            CodeBlockKind::Fenced(info) => info.split([' ', ',']).next().unwrap_or("").to_owned(),
            CodeBlockKind::Indented => String::new(),
        };
        Event::Html(highlight::code_block(&text, &language).into())
    }

    fn words_until(&mut self, end: TagEnd) -> String {
        let mut words = String::new();
        // Pictures may stand in the description of a picture.
        let mut inner = 0_usize;
        for event in self.parser.by_ref() {
            match event {
                Event::Start(tag) if tag.to_end() == end => inner += 1,
                Event::End(tag) if tag == end && inner == 0 => break,
                Event::End(tag) if tag == end => inner -= 1,
                Event::Text(text) | Event::Code(text) => words.push_str(&text),
                Event::SoftBreak | Event::HardBreak => words.push(' '),
                _ => {}
            }
        }
        words
    }
}

impl<'t> Iterator for Filter<'t, '_> {
    type Item = Event<'t>;

    fn next(&mut self) -> Option<Event<'t>> {
        loop {
            if !self.ahead.is_empty() {
                return Some(self.ahead.remove(0));
            }
            let event = self.parser.next()?;
            let filtered = self.filtered(event);
            if filtered.is_some() {
                return filtered;
            }
        }
    }
}

/// The highest level that a heading of the text has.
fn highest(text: &str) -> Option<usize> {
    let level = |event| match event {
        Event::Start(Tag::Heading { level, .. }) => Some(level as usize),
        _ => None,
    };
    Parser::new_ext(text, options()).filter_map(level).min()
}

fn options() -> Options {
    crate::read::prose::options()
}

fn anchor(href: &str, outside: bool) -> String {
    let rel = if outside { " rel=\"noreferrer noopener\"" } else { "" };
    format!("<a href=\"{}\"{rel}>", escaped(href))
}

/// Text made safe for HTML, in attributes too.
pub fn escaped(text: &str) -> String {
    let mut out = Vec::with_capacity(text.len());
    match tera::escape_html(text, &mut out) {
        Ok(()) => String::from_utf8(out).unwrap_or_default(),
        Err(_) => String::new(),
    }
}

#[cfg(test)]
mod tests;
