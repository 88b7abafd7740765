//! A page as html5ever reads it, flattened into a list of elements in the order of the document.

use std::collections::BTreeMap;

use html5ever::{ParseOpts, parse_document, tendril::TendrilSink, tree_builder::TreeBuilderOpts};
use markup5ever_rcdom::{Handle, NodeData, RcDom};

pub struct Page {
    /// Path inside the site, with slashes.
    pub path: String,
    pub bytes: usize,
    /// What the parser of the HTML standard complains about.
    pub errors: Vec<String>,
    pub doctype: Option<String>,
    pub elements: Vec<Element>,
}

pub struct Element {
    pub tag: String,
    pub attributes: BTreeMap<String, String>,
    parent: Option<usize>,
    /// All text inside, white space made single.
    pub text: String,
}

impl Element {
    pub fn attribute(&self, name: &str) -> Option<&str> {
        self.attributes.get(name).map(String::as_str)
    }

    pub fn has_class(&self, class: &str) -> bool {
        self.attribute("class").is_some_and(|classes| classes.split_ascii_whitespace().any(|found| found == class))
    }
}

impl Page {
    pub fn parse(path: &str, html: &str) -> Self {
        let tree_builder = TreeBuilderOpts { exact_errors: true, ..TreeBuilderOpts::default() };
        let dom = parse_document(RcDom::default(), ParseOpts { tree_builder, ..ParseOpts::default() }).one(html);
        let errors = dom.errors.borrow().iter().map(ToString::to_string).collect();
        let mut page = Self { path: path.to_owned(), bytes: html.len(), errors, doctype: None, elements: Vec::new() };
        page.flatten(&dom.document, None);
        page.elements.iter_mut().for_each(|element| element.text = single_spaced(&element.text));
        page
    }

    fn flatten(&mut self, node: &Handle, parent: Option<usize>) {
        let mut here = parent;
        match &node.data {
            NodeData::Doctype { name, .. } => self.doctype = Some(name.to_string()),
            NodeData::Text { contents } => self.add_text(parent, &contents.borrow()),
            NodeData::Element { name, attrs, .. } => {
                let attributes =
                    attrs.borrow().iter().map(|a| (a.name.local.to_string(), a.value.to_string())).collect();
                here = Some(self.elements.len());
                self.elements.push(Element { tag: name.local.to_string(), attributes, parent, text: String::new() });
            }
            NodeData::Document | NodeData::Comment { .. } | NodeData::ProcessingInstruction { .. } => (),
        }
        node.children.borrow().iter().for_each(|child| self.flatten(child, here));
    }

    fn add_text(&mut self, parent: Option<usize>, text: &str) {
        let mut next = parent;
        while let Some(at) = next {
            self.elements[at].text.push_str(text);
            next = self.elements[at].parent;
        }
    }

    /// The elements with a tag, and where they stand.
    pub fn all<'a>(&'a self, tag: &'a str) -> impl Iterator<Item = (usize, &'a Element)> {
        self.elements.iter().enumerate().filter(move |(_, element)| element.tag == tag)
    }

    /// The elements of a class, and where they stand.
    pub fn classed<'a>(&'a self, class: &'a str) -> impl Iterator<Item = (usize, &'a Element)> {
        self.elements.iter().enumerate().filter(move |(_, element)| element.has_class(class))
    }

    pub fn with_id(&self, id: &str) -> Option<usize> {
        self.elements.iter().position(|element| element.attribute("id") == Some(id))
    }

    /// Everything around an element, from near to far.
    pub fn around(&self, at: usize) -> impl Iterator<Item = usize> {
        std::iter::successors(self.elements[at].parent, |&above| self.elements[above].parent)
    }

    pub fn inside(&self, outer: usize) -> impl Iterator<Item = (usize, &Element)> {
        let all = self.elements.iter().enumerate().skip(outer + 1);
        all.filter(move |(at, _)| self.around(*at).any(|above| above == outer))
    }

    pub fn title(&self) -> &str {
        self.all("h1").next().map_or("", |(_, heading)| &heading.text)
    }
}

pub fn single_spaced(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn a_bad_page_is_seen_through() {
    let page = Page::parse("x.html", "<p id=a>one <b>two\n</i> three</b><p id=a id=b>");
    assert!(page.errors.len() >= 3, "{:?}", page.errors);
    assert_eq!(page.doctype, None);
    let (at, bold) = page.all("b").next().unwrap();
    assert_eq!((bold.text.as_str(), page.around(at).count()), ("two three", 3));
}
