//! The text of a guide, cut into tables and values by where they stand, so that one change is one change of the file.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

/// One `[table]` or `[[table]]` of a file, without the tables under it.
#[derive(Debug)]
pub(super) struct Block {
    pub(super) file: String,
    /// What stands between the brackets.
    pub(super) name: String,
    /// From its header to the next one.
    pub(super) own: Range<usize>,
    /// The same with the tables under it.
    pub(super) whole: Range<usize>,
    pub(super) pairs: Vec<Pair>,
}

/// A key and its value.
#[derive(Debug, Clone)]
pub(super) struct Pair {
    pub(super) key: String,
    pub(super) key_at: Range<usize>,
    pub(super) value: Node,
    /// What goes when the pair goes: its lines, or its place between two commas.
    pub(super) cut: Range<usize>,
}

/// A value and where it stands.
#[derive(Debug, Clone)]
pub(super) struct Node {
    pub(super) at: Range<usize>,
    pub(super) kind: What,
}

#[derive(Debug, Clone)]
pub(super) enum What {
    Text(String),
    Other,
    /// Each element with what goes when it goes.
    List(Vec<(Node, Range<usize>)>),
    Table(Vec<Pair>),
}

impl Block {
    pub(super) fn pair(&self, key: &str) -> Option<&Pair> {
        self.pairs.iter().find(|pair| pair.key == key)
    }

    pub(super) fn text(&self, key: &str) -> Option<&str> {
        self.pair(key).and_then(|pair| pair.value.text())
    }
}

impl Node {
    pub(super) fn text(&self) -> Option<&str> {
        match &self.kind {
            What::Text(text) => Some(text),
            _ => None,
        }
    }

    pub(super) fn list(&self) -> &[(Node, Range<usize>)] {
        match &self.kind {
            What::List(list) => list,
            _ => &[],
        }
    }

    /// All texts in it, at any depth, each with the key it stands under.
    pub(super) fn texts<'n>(&'n self, key: &'n str) -> Vec<(&'n str, &'n Node)> {
        match &self.kind {
            What::Text(_) => vec![(key, self)],
            What::Other => Vec::new(),
            What::List(list) => list.iter().flat_map(|(node, _)| node.texts(key)).collect(),
            What::Table(pairs) => pairs.iter().flat_map(|pair| pair.value.texts(&pair.key)).collect(),
        }
    }

    /// All pairs in it, at any depth.
    pub(super) fn pairs(&self) -> Vec<&Pair> {
        match &self.kind {
            What::List(list) => list.iter().flat_map(|(node, _)| node.pairs()).collect(),
            What::Table(pairs) => pairs.iter().flat_map(|pair| [vec![pair], pair.value.pairs()].concat()).collect(),
            _ => Vec::new(),
        }
    }
}

/// The tables of a file, in order.
pub(super) fn blocks(file: &str, text: &str) -> Vec<Block> {
    let mut headers = Vec::new();
    let mut at = 0;
    for line in text.split_inclusive('\n') {
        if line.starts_with('[') {
            let name = line.trim().trim_matches(['[', ']']);
            headers.push((name.to_owned(), at, at + line.len()));
        }
        at += line.len();
    }
    let end = |index: usize| headers.get(index).map_or(text.len(), |header| header.1);
    let block = |(index, (name, start, body)): (usize, &(String, usize, usize))| {
        let under = format!("{name}.");
        let next = (index + 1..headers.len()).find(|later| !headers[*later].0.starts_with(&under));
        Block {
            file: file.to_owned(),
            name: name.clone(),
            own: *start..end(index + 1),
            whole: *start..end(next.unwrap_or(headers.len())),
            pairs: body_pairs(text, *body..end(index + 1)),
        }
    };
    headers.iter().enumerate().map(block).collect()
}

fn body_pairs(text: &str, body: Range<usize>) -> Vec<Pair> {
    let table = DeTable::parse(&text[body.clone()]).expect("the demo can be read");
    let mut pairs = pairs(table.get_ref(), body.start);
    for pair in &mut pairs {
        let start = text[..pair.key_at.start].rfind('\n').map_or(0, |line| line + 1);
        let end = text[pair.value.at.end..].find('\n').map_or(text.len(), |line| pair.value.at.end + line + 1);
        pair.cut = start..end;
    }
    pairs
}

/// Pairs in the order of the text; the cut is that of an inline table.
fn pairs(table: &DeTable<'_>, base: usize) -> Vec<Pair> {
    let moved = |span: Range<usize>| span.start + base..span.end + base;
    let mut pairs: Vec<Pair> = table
        .iter()
        .map(|(key, value)| Pair {
            key: key.get_ref().to_string(),
            key_at: moved(key.span()),
            value: node(value.get_ref(), moved(value.span()), base),
            cut: moved(key.span()).start..moved(value.span()).end,
        })
        .collect();
    pairs.sort_by_key(|pair| pair.cut.start);
    let cuts = cuts(&pairs.iter().map(|pair| pair.cut.clone()).collect::<Vec<_>>());
    for (pair, cut) in pairs.iter_mut().zip(cuts) {
        pair.cut = cut;
    }
    pairs
}

fn node(value: &DeValue<'_>, at: Range<usize>, base: usize) -> Node {
    let kind = match value {
        DeValue::String(text) => What::Text(text.to_string()),
        DeValue::Array(array) => {
            let moved = |span: Range<usize>| span.start + base..span.end + base;
            let nodes = array.iter().map(|value| node(value.get_ref(), moved(value.span()), base));
            let nodes: Vec<Node> = nodes.collect();
            let cuts = cuts(&nodes.iter().map(|node| node.at.clone()).collect::<Vec<_>>());
            What::List(nodes.into_iter().zip(cuts).collect())
        }
        DeValue::Table(table) => What::Table(pairs(table, base)),
        _ => What::Other,
    };
    Node { at, kind }
}

/// What goes with each of several things between commas: itself, and the comma on one side.
fn cuts(places: &[Range<usize>]) -> Vec<Range<usize>> {
    let cut = |index: usize| match (index.checked_sub(1).map(|before| &places[before]), places.get(index + 1)) {
        (_, Some(next)) => places[index].start..next.start,
        (Some(before), None) => before.end..places[index].end,
        (None, None) => places[index].clone(),
    };
    (0..places.len()).map(cut).collect()
}
