//! Well-formed pages that a screen reader can use. Rules after the HTML standard and WCAG 2.2 (from memory).

use std::collections::BTreeSet;

use super::page::{Element, Page};
use super::{DEMO, assert_none};

/// Runs a check over every page; each complaint is led by its page.
fn over_pages(what: &str, check: impl Fn(&Page, &mut Vec<String>)) {
    let mut found = Vec::new();
    for page in DEMO.pages.values() {
        let mut here = Vec::new();
        check(page, &mut here);
        found.extend(here.into_iter().map(|complaint| format!("{}: {complaint}", page.path)));
    }
    assert_none(what, &found);
}

#[test]
fn the_parser_of_the_standard_reports_nothing() {
    assert!(DEMO.pages.len() > 100, "only {} pages were published", DEMO.pages.len());
    over_pages("parse errors", |page, found| found.extend(page.errors.iter().cloned()));
}

#[test]
fn every_page_has_doctype_language_and_title() {
    over_pages("frame", |page, found| {
        let root = &page.elements[0];
        if page.doctype.as_deref() != Some("html") {
            found.push(format!("doctype is {:?}", page.doctype));
        }
        if root.attribute("lang") != Some("en") || root.attribute("dir") != Some("ltr") {
            found.push(format!("language and direction are {:?}", root.attributes));
        }
        let head = page.all("title").find(|(at, _)| page.around(*at).any(|above| page.elements[above].tag == "head"));
        if head.is_none_or(|(_, title)| !title.text.starts_with(page.title())) {
            found.push("the title of the window does not begin with the heading".to_owned());
        }
    });
}

#[test]
fn every_page_has_one_first_heading_and_skips_no_level() {
    over_pages("headings", |page, found| {
        let levels: Vec<u8> = page.elements.iter().filter_map(level).collect();
        if levels.iter().filter(|level| **level == 1).count() != 1 || levels.first() != Some(&1) {
            found.push(format!("levels are {levels:?}"));
        }
        let jump = levels.windows(2).find(|pair| pair[1] > pair[0] + 1);
        found.extend(jump.map(|pair| format!("from level {} to {}", pair[0], pair[1])));
        let empty = page.elements.iter().filter(|element| level(element).is_some() && element.text.is_empty());
        found.extend(empty.map(|_| "an empty heading".to_owned()));
    });
}

fn level(element: &Element) -> Option<u8> {
    let digit = element.tag.strip_prefix('h')?;
    digit.parse().ok().filter(|level| (1..=6).contains(level))
}

#[test]
fn no_id_stands_twice_on_a_page() {
    over_pages("ids", |page, found| {
        let mut seen = BTreeSet::new();
        let ids = page.elements.iter().filter_map(|element| element.attribute("id"));
        found.extend(ids.filter(|id| !seen.insert(*id)).map(|id| format!("{id} stands twice")));
    });
}

#[test]
fn every_table_has_named_columns_and_rows() {
    let mut tables = 0;
    DEMO.pages.values().for_each(|page| tables += page.all("table").count());
    assert!(tables > 100, "only {tables} tables");
    over_pages("tables", |page, found| {
        for (at, _) in page.all("table") {
            let heads: Vec<_> = page.inside(at).filter(|(_, element)| element.tag == "th").collect();
            let column = heads.iter().any(|(_, head)| head.attribute("scope") == Some("col"));
            let scoped = heads.iter().all(|(_, head)| matches!(head.attribute("scope"), Some("col" | "row")));
            if !column || !scoped || heads.iter().any(|(_, head)| head.text.is_empty()) {
                found.push(format!("a table has {} header cells, some without scope or text", heads.len()));
            }
            // Markdown has no way to write a caption.
            let written = page.elements[at].has_class("written");
            if !written && !page.inside(at).any(|(_, inside)| inside.tag == "caption") {
                found.push("a table has no caption".to_owned());
            }
        }
    });
}

/// A stacked table loses its column headings, so each cell carries its own.
#[test]
fn every_cell_of_a_stacked_table_says_its_column() {
    over_pages("cells", |page, found| {
        for (at, _) in page.classed("stack") {
            let cells = page
                .inside(at)
                .filter(|(_, cell)| cell.tag == "td" || cell.tag == "th" && cell.attribute("scope") == Some("row"));
            let bare = cells.filter(|(_, cell)| cell.attribute("data-label").is_none_or(str::is_empty));
            found.extend(bare.map(|(_, cell)| format!("no label for \"{}\"", cell.text)));
        }
    });
}

#[test]
fn every_control_has_a_label() {
    over_pages("controls", |page, found| {
        let controls = page.elements.iter().enumerate().filter(|(_, element)| is_control(element));
        for (at, control) in controls {
            let named = control.attribute("id").is_some_and(|id| {
                page.all("label").any(|(_, label)| label.attribute("for") == Some(id) && !label.text.is_empty())
            });
            let inside = page.around(at).any(|above| page.elements[above].tag == "label");
            let says = control.tag == "button" && !control.text.is_empty();
            if !named && !inside && !says && control.attribute("aria-label").is_none_or(str::is_empty) {
                found.push(format!("{} {:?} has no label", control.tag, control.attributes));
            }
        }
    });
}

fn is_control(element: &Element) -> bool {
    matches!(element.tag.as_str(), "input" | "select" | "textarea" | "button")
        && element.attribute("type") != Some("hidden")
}

#[test]
fn every_link_and_picture_says_something() {
    over_pages("words", |page, found| {
        let pictures = page.all("img").filter(|(_, image)| image.attribute("alt").is_none_or(str::is_empty));
        found.extend(pictures.map(|(_, image)| format!("no words for {:?}", image.attribute("src"))));
        let unseen = |image: &Element| ["width", "height"].iter().any(|side| image.attribute(side) == Some("0"));
        let unseen = page.all("img").filter(|(_, image)| unseen(image));
        found.extend(unseen.map(|(_, image)| format!("no room for {:?}", image.attribute("src"))));
        let links = page.all("a").filter(|(_, link)| link.text.is_empty() && link.attribute("aria-label").is_none());
        found.extend(links.map(|(_, link)| format!("no words for {:?}", link.attribute("href"))));
        let drawings = page.all("svg").filter(|(at, drawing)| !is_decoration(drawing) && !is_described(page, *at));
        found.extend(drawings.map(|(_, drawing)| format!("no words for a drawing {:?}", drawing.attributes)));
    });
}

fn is_decoration(drawing: &Element) -> bool {
    drawing.attribute("aria-hidden") == Some("true")
}

fn is_described(page: &Page, drawing: usize) -> bool {
    let element = &page.elements[drawing];
    let titled = page.inside(drawing).any(|(_, inside)| inside.tag == "title" && !inside.text.is_empty());
    let other = element.attribute("aria-labelledby").and_then(|id| page.with_id(id));
    let told = other.is_some_and(|other| !page.elements[other].text.is_empty());
    // A drawing with links in it is a group, for a picture has no parts.
    matches!(element.attribute("role"), Some("img" | "group"))
        && (titled || told || element.attribute("aria-label").is_some_and(|label| !label.is_empty()))
        || page.around(drawing).any(|above| is_decoration(&page.elements[above]))
}

/// The policy of every page forbids them, so they would not work; what would not work must not be there.
#[test]
fn no_page_has_style_or_script_of_its_own() {
    over_pages("inline code", |page, found| {
        for element in &page.elements {
            let data = element.attribute("type") == Some("application/json");
            let inline = element.tag == "script" && element.attribute("src").is_none() && !data;
            if inline || element.tag == "style" || element.attributes.contains_key("style") {
                found.push(format!("{} with style or script of its own", element.tag));
            }
            let handlers = element.attributes.keys().filter(|name| name.starts_with("on"));
            found.extend(handlers.map(|name| format!("{} has {name}", element.tag)));
        }
    });
}

#[test]
fn every_page_states_its_policy_first() {
    over_pages("policies", |page, found| {
        let policy = page.all("meta").find(|(_, meta)| meta.attribute("http-equiv") == Some("Content-Security-Policy"));
        let first = page.elements.iter().position(|element| matches!(element.tag.as_str(), "link" | "script"));
        let stated = policy.is_some_and(|(at, meta)| {
            first.is_none_or(|first| at < first)
                && meta.attribute("content").is_some_and(|content| content.contains("default-src 'none'"))
        });
        if !stated {
            found.push("no policy, or not before what it governs".to_owned());
        }
    });
}
