//! What stands in Markdown: links, pictures, raw HTML, and targets that cannot be published.

use std::ops::Range;

use pulldown_cmark::{Event, LinkType, Options, Parser, Tag, TagEnd};

use crate::model::Kind;

/// Lists and quotes inside each other; more cannot be told apart on a page.
pub(crate) const DEEPEST: usize = 8;

/// Schemes that links to the outside may have.
const OUTSIDE: [&str; 4] = ["https", "http", "mailto", "tel"];

/// CommonMark with tables. Heading attributes stay off: they would let markup through.
pub(crate) fn options() -> Options {
    Options::ENABLE_TABLES
}

/// A link to an entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EntryLink {
    pub range: Range<usize>,
    pub kind: Kind,
    pub id: String,
}

/// A picture of `media/`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ProsePicture {
    pub range: Range<usize>,
    pub file: String,
    pub description: String,
}

/// Something with a target that cannot be published.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Refused {
    pub range: Range<usize>,
    pub target: String,
    pub what: RefusedKind,
}

/// What was refused.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum RefusedKind {
    Link,
    Picture,
}

/// What a text holds; ranges are bytes of the text.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct ProseScan {
    pub links: Vec<EntryLink>,
    pub pictures: Vec<ProsePicture>,
    pub raw_html: Vec<Range<usize>>,
    pub refused: Vec<Refused>,
    /// The first list or quote that is nested deeper than a page can show.
    pub too_deep: Option<Range<usize>>,
}

/// Where a link leads, by its target.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Target<'t> {
    Entry(Kind, &'t str),
    Outside(&'t str),
    Refused,
}

impl RefusedKind {
    /// Its name in a message.
    pub fn word(self) -> &'static str {
        match self {
            Self::Link => "link",
            Self::Picture => "picture",
        }
    }

    /// What to write instead.
    pub fn remedy(self) -> String {
        let kinds: Vec<&str> = Kind::linkable().filter_map(Kind::link_word).collect();
        match self {
            Self::Link => format!(
                "Link to an entry by kind and id, such as `[the pump](part:oil-pump)`, or outside with https. Kinds: {}.",
                kinds.join(", ")
            ),
            Self::Picture => "Name a file of media/ alone, such as `![what it shows](pump.svg)`.".to_owned(),
        }
    }
}

/// Sorts a link's target.
pub(crate) fn target_of(target: &str) -> Target<'_> {
    let Some((scheme, rest)) = target.split_once(':') else { return Target::Refused };
    if let Some(kind) = Kind::from_link_word(scheme) {
        return if super::links::is_kebab(rest) { Target::Entry(kind, rest) } else { Target::Refused };
    }
    let known = OUTSIDE.iter().any(|known| scheme.eq_ignore_ascii_case(known));
    let clean = !target.chars().any(|letter| letter.is_control() || letter.is_whitespace());
    if known && clean { Target::Outside(target) } else { Target::Refused }
}

/// True for the name of a picture file, without any folder.
pub(crate) fn is_picture_name(name: &str) -> bool {
    let known = name.rsplit_once('.').map(|(_, ending)| ending.to_ascii_lowercase());
    let plain = !name.starts_with('.') && !name.contains(['/', '\\', ':', '?', '#', '%']);
    plain && known.is_some_and(|ending| super::file::PICTURES.contains(&ending.as_str()))
}

/// Finds everything in a text that needs a look.
pub(crate) fn check_prose(text: &str) -> ProseScan {
    let mut scan = ProseScan::default();
    let mut picture: Option<ProsePicture> = None;
    let mut depth = 0_usize;
    for (event, range) in Parser::new_ext(text, options()).into_offset_iter() {
        match event {
            Event::Start(Tag::BlockQuote(_) | Tag::List(_)) => {
                depth += 1;
                if depth > DEEPEST && scan.too_deep.is_none() {
                    scan.too_deep = Some(range);
                }
            }
            Event::End(TagEnd::BlockQuote(_) | TagEnd::List(_)) => depth = depth.saturating_sub(1),
            Event::Start(Tag::Link { link_type, dest_url, .. }) => scan.take_link(link_type, &dest_url, range),
            Event::Start(Tag::Image { dest_url, .. }) => {
                picture = scan.take_picture(&dest_url, range);
            }
            Event::End(TagEnd::Image) => scan.pictures.extend(picture.take()),
            Event::Text(words) | Event::Code(words) => {
                if let Some(picture) = &mut picture {
                    picture.description.push_str(&words);
                }
            }
            Event::Html(_) | Event::InlineHtml(_) => scan.raw_html.push(range),
            _ => {}
        }
    }
    join_within_blocks(text, &mut scan.raw_html);
    scan
}

impl ProseScan {
    fn take_link(&mut self, link_type: LinkType, target: &str, range: Range<usize>) {
        match target_of(target) {
            Target::Entry(kind, id) => self.links.push(EntryLink { range, kind, id: id.to_owned() }),
            Target::Outside(_) => {}
            Target::Refused if link_type == LinkType::Email => {}
            Target::Refused => self.refuse(target, range, RefusedKind::Link),
        }
    }

    fn take_picture(&mut self, target: &str, range: Range<usize>) -> Option<ProsePicture> {
        if is_picture_name(target) {
            return Some(ProsePicture { range, file: target.to_owned(), description: String::new() });
        }
        self.refuse(target, range, RefusedKind::Picture);
        None
    }

    fn refuse(&mut self, target: &str, range: Range<usize>, what: RefusedKind) {
        self.refused.push(Refused { range, target: super::links::shortened(target), what });
    }
}

/// The tags of one block are one slip: it reaches from the first to the last of them.
fn join_within_blocks(text: &str, ranges: &mut Vec<Range<usize>>) {
    ranges.dedup_by(|next, last| {
        let between = text.get(last.end..next.start).unwrap_or("");
        let one_block = between.lines().skip(1).all(|line| !line.trim().is_empty());
        if one_block {
            last.end = next.end;
        }
        one_block
    });
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn links_pictures_and_what_is_refused() {
        let text = "See [](part:pump) and [x](JavaScript:alert(1)) ![a pump](pump.svg) ![no](../x.svg) <b>b</b>";
        let scan = check_prose(text);
        assert_eq!(scan.links.len(), 1);
        assert_eq!((scan.links[0].kind, scan.links[0].id.as_str()), (Kind::Part, "pump"));
        assert_eq!(&text[scan.links[0].range.clone()], "[](part:pump)");
        assert_eq!((scan.pictures[0].file.as_str(), scan.pictures[0].description.as_str()), ("pump.svg", "a pump"));
        let refused: Vec<&str> = scan.refused.iter().map(|refused| refused.target.as_str()).collect();
        assert_eq!(refused, ["JavaScript:alert(1)", "../x.svg"]);
        assert_eq!(&text[scan.raw_html[0].clone()], "<b>b</b>");
        assert_eq!(scan.raw_html.len(), 1);
    }

    #[test]
    fn the_tags_of_one_block_are_one_slip() {
        let found = |text| check_prose(text).raw_html.len();
        assert_eq!(found("A <b>b</b> and\n<i>c</i>."), 1);
        assert_eq!(found("<table>\n<tr><td>1</td></tr>\n</table>"), 1);
        assert_eq!(found("A <b>b</b>.\n\nThen <i>c</i>."), 2);
    }

    #[test]
    fn schemes_are_judged_after_entities_are_resolved() {
        for text in [
            "[x](java&#115;cript:alert(1))",
            "[x](data:text/html,x)",
            "[x](file:///x)",
            "[x](part:../x)",
            "[x](y.html)",
        ] {
            assert_eq!(check_prose(text).refused.len(), 1, "{text}");
        }
        assert_eq!(check_prose("[x](https://example.org) <mailto:a@example.org>").refused, []);
    }

    proptest! {
        #[test]
        fn ranges_lie_inside_the_text(text in "[\\[\\]()!<>a-z:#*`\n ä-]{0,80}") {
            let scan = check_prose(&text);
            for range in scan.raw_html.iter().chain(scan.links.iter().map(|link| &link.range)) {
                prop_assert!(text.get(range.clone()).is_some());
            }
        }
    }
}
