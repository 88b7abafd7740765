//! Tables of Markdown texts: header cells with a scope, and each cell with its column's words, so that they can be
//! stacked on a narrow screen as the guide's own tables are.

use std::fmt::Write;

use pulldown_cmark::{Event, Tag, TagEnd, html};

use super::markdown::escaped;

/// A cell as HTML, and its words alone.
#[derive(Debug, Default)]
struct Cell {
    html: String,
    words: String,
}

/// The same events, each table made into one event of finished HTML.
pub fn finished<'e>(events: impl IntoIterator<Item = Event<'e>>) -> Vec<Event<'e>> {
    let mut events = events.into_iter();
    let mut out = Vec::new();
    while let Some(event) = events.next() {
        match event {
            Event::Start(Tag::Table(_)) => out.push(Event::Html(table(&mut events).into())),
            other => out.push(other),
        }
    }
    out
}

fn table<'e>(events: &mut impl Iterator<Item = Event<'e>>) -> String {
    let mut rows: Vec<Vec<Cell>> = Vec::new();
    while let Some(event) = events.next() {
        match event {
            Event::End(TagEnd::Table) => break,
            Event::Start(Tag::TableHead | Tag::TableRow) => rows.push(Vec::new()),
            Event::Start(Tag::TableCell) => {
                let cell = cell(events);
                if let Some(row) = rows.last_mut() {
                    row.push(cell);
                }
            }
            _ => {}
        }
    }
    let mut rows = rows.into_iter();
    let head = rows.next().unwrap_or_default();
    // Two columns fit a phone as they are.
    let stack = if head.len() > 2 { "stack " } else { "" };
    let mut out = format!("<table class=\"{stack}written\">\n<thead><tr>");
    head.iter().for_each(|cell| out.push_str(&column(cell)));
    out.push_str("</tr></thead>\n<tbody>");
    rows.for_each(|row| out.push_str(&line(&head, &row)));
    out.push_str("</tbody>\n</table>\n");
    out
}

fn cell<'e>(events: &mut impl Iterator<Item = Event<'e>>) -> Cell {
    let inside: Vec<_> = events.take_while(|event| !matches!(event, Event::End(TagEnd::TableCell))).collect();
    let mut cell = Cell::default();
    for event in &inside {
        if let Event::Text(words) | Event::Code(words) = event {
            cell.words.push_str(words);
        }
    }
    html::push_html(&mut cell.html, inside.into_iter());
    cell
}

/// A heading of a column; an empty corner is no heading.
fn column(cell: &Cell) -> String {
    if cell.words.is_empty() { "<td></td>".to_owned() } else { format!("<th scope=\"col\">{}</th>", cell.html) }
}

/// A row; its first cell names it, unless that is empty.
fn line(head: &[Cell], row: &[Cell]) -> String {
    let mut out = String::from("<tr>");
    for (index, cell) in row.iter().enumerate() {
        let label = head.get(index).map_or("", |head| &head.words);
        let label = if label.is_empty() { String::new() } else { format!(" data-label=\"{}\"", escaped(label)) };
        let (open, close) =
            if index == 0 && !cell.words.is_empty() { ("th scope=\"row\"", "th") } else { ("td", "td") };
        let _ = write!(out, "<{open}{label}>{}</{close}>", cell.html);
    }
    out.push_str("</tr>\n");
    out
}
