//! Findings as text for a person: place, what is wrong, why it matters, what to write.

use std::fmt::{self, Write};

use super::{Judged, Level, Report};
use crate::text::{Sources, Span};

/// How text is dressed.
#[derive(Debug, Clone, Copy)]
pub struct Style {
    /// Emphasis by terminal codes.
    pub colour: bool,
    /// Width to wrap at, in columns.
    pub width: usize,
}

/// Width of the labels, and so the indent of what they label.
const LABEL: usize = 9;

/// The most characters of a line that are shown.
const LONGEST_QUOTE: usize = 160;

/// Writes one finding in four parts.
pub fn write_text(out: &mut String, judged: &Judged, sources: &Sources, style: Style) -> fmt::Result {
    let finding = &judged.finding;
    let head = format!("{} · {}", place(sources, finding.span), judged.rule.name);
    writeln!(out, "{} {}", badge(judged.level, style), strong(&head, style))?;
    if let Some(line) = quoted_line(sources, finding.span) {
        part(out, "there", &line, style)?;
    }
    part(out, "wrong", &finding.wrong, style)?;
    part(out, "why", judged.rule.matters, style)?;
    part(out, "write", &finding.remedy, style)?;
    for related in &finding.related {
        part(out, "see", &format!("{}: {}", place(sources, related.span), related.says), style)?;
    }
    if let Some(because) = &judged.softened {
        part(out, "softened", because, style)?;
    }
    out.push('\n');
    Ok(())
}

/// One line that says how the run went.
pub fn summary(report: &Report) -> String {
    let counted = [
        (Level::Error, "error", "errors"),
        (Level::Warning, "warning", "warnings"),
        (Level::Advice, "piece of advice", "pieces of advice"),
    ];
    let parts: Vec<String> = counted
        .iter()
        .map(|(level, one, many)| (report.count(*level), one, many))
        .filter(|(count, ..)| *count > 0)
        .map(|(count, one, many)| format!("{count} {}", if count == 1 { one } else { many }))
        .collect();
    if parts.is_empty() {
        return "Nothing found.".to_owned();
    }
    let held_back = report.held_back.iter().map(|(rule, held)| format!("\nNot shown: {} more of {rule}.", held.sum()));
    format!("Found {}.{}", parts.join(", "), held_back.collect::<String>())
}

/// A folder, a picture and a missing file have no lines.
fn place(sources: &Sources, span: Span) -> String {
    if sources.get(span.file).is_none_or(|source| source.text.is_empty()) {
        return sources.path(span.file).to_owned();
    }
    let position = sources.position(span);
    format!("{}, line {}, column {}", sources.path(span.file), position.line, position.column)
}

fn quoted_line(sources: &Sources, span: Span) -> Option<String> {
    let position = sources.position(span);
    let line = sources.get(span.file)?.line(position.line);
    // A long line is shown from a little before the place on.
    let skipped = position.column.saturating_sub(LONGEST_QUOTE - 40);
    let mut rest = line.chars().skip(skipped).filter(|letter| !letter.is_control());
    let shown: String = rest.by_ref().take(LONGEST_QUOTE).collect();
    let (before, after) = (if skipped > 0 { "…" } else { "" }, if rest.next().is_some() { "…" } else { "" });
    let shown = shown.trim();
    (!shown.is_empty()).then(|| format!("{before}{shown}{after}"))
}

fn part(out: &mut String, label: &str, text: &str, style: Style) -> fmt::Result {
    let room = style.width.saturating_sub(LABEL + 2).max(30);
    for (index, line) in wrap(text, room).iter().enumerate() {
        let label = if index == 0 { label } else { "" };
        writeln!(out, "  {label:<LABEL$}{line}")?;
    }
    Ok(())
}

fn wrap(text: &str, room: usize) -> Vec<String> {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let line =
            lines.last_mut().filter(|line| line.chars().count() + word.chars().count() < room || line.is_empty());
        match line {
            Some(line) if line.is_empty() => line.push_str(word),
            Some(line) => {
                line.push(' ');
                line.push_str(word);
            }
            None => lines.push(word.to_owned()),
        }
    }
    lines
}

fn badge(level: Level, style: Style) -> String {
    let code = match level {
        Level::Error => "1;7",
        Level::Warning => "1",
        Level::Advice => "3",
    };
    let word = level.word().to_uppercase();
    if style.colour { format!("\u{1b}[{code}m{word}\u{1b}[0m") } else { word }
}

fn strong(text: &str, style: Style) -> String {
    if style.colour { format!("\u{1b}[1m{text}\u{1b}[0m") } else { text.to_owned() }
}
