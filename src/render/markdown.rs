//! Markdown to HTML. Raw HTML is shown as text, unknown targets lose their link: a page never carries foreign markup.

use std::fmt::Write;
use std::iter::Peekable;

use pulldown_cmark::{CodeBlockKind, Event, Options, Parser, Tag, TagEnd, html};

use super::highlight;
use crate::model::Kind;
use crate::read::prose::{Target, is_picture_name, target_of};

/// Finds what links and pictures of a text stand for.
pub trait Resolve {
    /// Address and title of an entry, seen from the page the text stands on.
    fn entry(&self, kind: Kind, id: &str) -> Option<(String, String)>;

    /// Address and size in pixels of a picture of `media/`.
    fn picture(&self, file: &str) -> Option<(String, Option<(u32, u32)>)>;
}

/// The level of the first heading a text may have; the page itself has the one above.
const TOP_HEADING: usize = 2;

/// A text as HTML blocks. Headings get ids that begin with `prefix`.
pub fn blocks(text: &str, resolve: &dyn Resolve, prefix: &str) -> String {
    let mut out = String::new();
    html::push_html(&mut out, Filter::new(text, resolve, prefix).collect::<Vec<_>>().into_iter());
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

/// The words of a text, for search and for places that take no markup. Links without words become their id's entry.
pub fn plain(text: &str, resolve: &dyn Resolve) -> String {
    let mut out = String::new();
    for event in Filter::new(text, resolve, "") {
        match event {
            Event::Text(words) | Event::Code(words) => out.push_str(&words),
            Event::SoftBreak | Event::HardBreak | Event::End(_) if !out.ends_with([' ', '\n']) => out.push(' '),
            _ => {}
        }
    }
    out.split_whitespace().collect::<Vec<_>>().join(" ")
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
}

impl<'t, 'r> Filter<'t, 'r> {
    fn new(text: &'t str, resolve: &'r dyn Resolve, prefix: &'r str) -> Self {
        let parser = Parser::new_ext(text, options()).peekable();
        Self { parser, resolve, prefix, links: Vec::new(), ahead: Vec::new(), headings: 0 }
    }

    fn open_link(&mut self, target: &str) -> Option<Event<'t>> {
        let opened = match target_of(target) {
            Target::Entry(kind, id) => self.resolve.entry(kind, id).map(|(href, title)| {
                // `[](part:pump)` has no words of its own: it takes the title of what it names.
                let empty = matches!(self.parser.peek(), Some(Event::End(TagEnd::Link)));
                (anchor(&href, false), empty.then_some(title))
            }),
            Target::Outside(address) => Some((anchor(address, true), None)),
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
            Event::Start(Tag::Link { dest_url, .. }) => self.open_link(&dest_url),
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
                let level = (level as usize + TOP_HEADING - 1).min(6);
                let id = if self.prefix.is_empty() {
                    String::new()
                } else {
                    format!(" id=\"{}-{}\"", self.prefix, self.headings)
                };
                Event::Html(format!("<h{level}{id}>").into())
            }
            Event::End(TagEnd::Heading(level)) => {
                Event::Html(format!("</h{}>\n", (level as usize + TOP_HEADING - 1).min(6)).into())
            }
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
        for event in self.parser.by_ref() {
            match event {
                Event::End(tag) if tag == end => break,
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
