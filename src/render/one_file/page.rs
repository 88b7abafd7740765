//! One page on its way into the one file: its parts, its ids made unlike those of other pages, its links turned inwards.

use std::collections::BTreeSet;

use super::tags::rewrite;
use super::within::Within;

/// What a page consists of, as slices of its HTML.
pub(super) struct Parts<'h> {
    /// From the document type to the start of `body`.
    pub(super) head: &'h str,
    /// The attributes of `body`, with a space before them.
    pub(super) body: &'h str,
    pub(super) before: &'h str,
    /// Inside `main`.
    pub(super) main: &'h str,
    pub(super) after: &'h str,
}

/// Attributes that name elements by their ids, one or several.
const REFERENCES: [&str; 8] =
    ["for", "list", "headers", "aria-labelledby", "aria-describedby", "aria-controls", "aria-owns", "aria-details"];

impl<'h> Parts<'h> {
    /// The parts of a page; none where the theme gives it no `body` or no `main`.
    pub(super) fn of(html: &'h str) -> Option<Self> {
        let (head, rest) = html.split_once("<body")?;
        let (body, rest) = rest.split_once('>')?;
        let (before, rest) = rest.split_once("<main")?;
        let (_, rest) = rest.split_once('>')?;
        let (main, rest) = rest.rsplit_once("</main>")?;
        let (after, _) = rest.rsplit_once("</body>")?;
        Some(Self { head, body, before, main, after })
    }

    /// The text of the window's title, references and all.
    pub(super) fn title(&self) -> &'h str {
        between(self.head, "<title>", "</title>").unwrap_or_default()
    }

    /// What the title block says about the page.
    pub(super) fn cell(&self) -> &'h str {
        between(self.before, "<div class=\"cell-kind\">", "</div>").unwrap_or_default()
    }

    /// The addresses of a kind in the head, in their order.
    pub(super) fn addresses(&self, tag: &str, attribute: &str) -> Vec<&'h str> {
        let starts = self.head.match_indices(tag).map(|(at, _)| &self.head[at..]);
        let tags = starts.map(|rest| rest.split('>').next().unwrap_or_default());
        tags.filter_map(|tag| between(tag, &format!(" {attribute}=\""), "\"")).collect()
    }
}

fn between<'h>(text: &'h str, start: &str, end: &str) -> Option<&'h str> {
    let (_, rest) = text.split_once(start)?;
    rest.split_once(end).map(|(inside, _)| inside)
}

/// The ids of a piece of a page.
fn ids(html: &str) -> BTreeSet<String> {
    let mut ids = BTreeSet::new();
    rewrite(html, |it| {
        if it.name == "id" {
            ids.insert(it.value.to_owned());
        }
        None
    });
    ids
}

/// A piece of the page at `path`. With a `name`, its ids get it as a prefix; without one they stay.
pub(super) fn turned_inwards(html: &str, path: &str, name: Option<&str>, within: &Within<'_>) -> String {
    let own = if name.is_some() { ids(html) } else { BTreeSet::new() };
    let prefixed = |id: &str| match name {
        Some(name) if own.contains(id) => format!("{name}:{id}"),
        _ => id.to_owned(),
    };
    rewrite(html, |it| match it.name {
        "id" => Some(prefixed(it.value)),
        reference if REFERENCES.contains(&reference) => {
            Some(it.value.split_ascii_whitespace().map(&prefixed).collect::<Vec<_>>().join(" "))
        }
        "href" | "xlink:href" | "src" | "action" | "poster" => Some(match it.value.strip_prefix('#') {
            Some(id) => format!("#{}", prefixed(id)),
            None => within.address(path, it.value),
        }),
        "data-search" => Some(it.value.trim_start_matches("../").to_owned()),
        _ => it.value.split_once("url(#").and_then(|(before, rest)| {
            let (id, after) = rest.split_once(')')?;
            Some(format!("{before}url(#{}){after}", prefixed(id)))
        }),
    })
}
