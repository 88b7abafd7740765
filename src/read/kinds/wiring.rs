//! `wiring/*.toml`

use crate::model::quantity::Dimension;
use crate::model::{Guide, Id, Kind, Node, NodeKind, ProseRole, TestPoint, WiringPath};
use crate::read::record::Record;

const KINDS: [(&str, NodeKind); 9] = [
    ("supply", NodeKind::Supply),
    ("fuse", NodeKind::Fuse),
    ("wire", NodeKind::Wire),
    ("connector", NodeKind::Connector),
    ("splice", NodeKind::Splice),
    ("switch", NodeKind::Switch),
    ("relay", NodeKind::Relay),
    ("load", NodeKind::Load),
    ("ground", NodeKind::Ground),
];

/// The one wiring path of a file.
pub(in crate::read) fn file(record: &mut Record<'_, '_>, guide: &mut Guide) {
    if let Some(path) = record.single("path", path) {
        guide.wiring.insert(Id::new(path.head.id.value.as_str()), path);
    }
}

fn path(top: &mut Record<'_, '_>) -> Option<WiringPath> {
    let path = top.child("path", |record| {
        let head = record.head(Kind::WiringPath);
        let name = record.line("name", ProseRole::Text, "what the path feeds");
        let path = WiringPath {
            says: record.prose_opt("says", ProseRole::Text),
            supply: record.varied("supply", Dimension::Voltage),
            load_current: record.varied("load_current", Dimension::Current),
            drop_budget: record.varied("drop_budget", Dimension::Voltage),
            nodes: Vec::new(),
            test_points: Vec::new(),
            head: head?,
            name: name?,
        };
        Some(path)
    });
    let owner = path.as_ref().map(|path| path.head.id.clone());
    top.adopt(Kind::WiringPath, owner.as_ref());
    let nodes = top.children("node", node);
    let test_points = top.children("test_point", test_point);
    let mut path = path?;
    path.head.span = top.span;
    Some(WiringPath { nodes, test_points, ..path })
}

fn node(record: &mut Record<'_, '_>) -> Option<Node> {
    let id = record.local_id(Kind::Node);
    let kind = record.one_of("kind", &KINDS);
    let node = Node {
        says: record.line_opt("says", ProseRole::Text),
        part: record.link_opt("part", Kind::Part),
        rating: record.varied("rating", Dimension::Current),
        size: record.varied("size", Dimension::Area),
        length: record.varied("length", Dimension::Length),
        colour: record.word_opt("colour"),
        closed_when: record.line_opt("closed_when", ProseRole::Text),
        span: record.span,
        id: id?,
        kind: kind?,
    };
    Some(node)
}

fn test_point(record: &mut Record<'_, '_>) -> Option<TestPoint> {
    let id = record.local_id(Kind::TestPoint);
    let after = record.word("after", "the node it lies just after, seen from the supply");
    let after = after.and_then(|word| record.local_mention("after", Kind::Node, word));
    let says = record.line("says", ProseRole::Text, "where to hold the probe");
    let expect = record.varied("expect", Dimension::Voltage);
    Some(TestPoint { id: id?, after: after?, says: says?, expect, span: record.span })
}
