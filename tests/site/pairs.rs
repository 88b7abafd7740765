//! Pages of crossed hoses: every pair is told and found, also of a circuit with very many of them.

use std::collections::{BTreeMap, BTreeSet};
use std::fmt::Write;
use std::fs;

use super::says::MOST;
use super::{DEMO, Site, assert_none, compile, run};
use crate::publish::text;

type Pairs = BTreeSet<[String; 2]>;

fn sorted(one: &str, other: &str) -> [String; 2] {
    let mut pair = [one.to_owned(), other.to_owned()];
    pair.sort();
    pair
}

/// What stands between two pieces of a page, each time.
fn between<'t>(text: &'t str, open: &str, close: &str) -> Vec<&'t str> {
    text.split(open).skip(1).map(|rest| rest.split(close).next().unwrap()).collect()
}

/// The pairs that one line of a row stands for.
fn spelt_out(line: &str) -> Pairs {
    if let Some(marks) = line.strip_prefix("any two of ") {
        let marks: Vec<&str> = marks.split(", ").collect();
        return marks.iter().enumerate().flat_map(|(at, one)| marks[..at].iter().map(|it| sorted(one, it))).collect();
    }
    let (these, those) = line.split_once("\u{a0}\u{d7}\u{a0}").unwrap();
    these.split(", ").flat_map(|one| those.split(", ").map(|other| sorted(one, other))).collect()
}

/// The pairs of each row of a page, by its number: all stand in its summary, and what more is said of some says the same.
fn rows(page: &str) -> BTreeMap<usize, Pairs> {
    let rows = between(page, "<details id=\"x", "</details>").into_iter();
    let row = |row: &str| {
        let (number, _) = row.split_once('"').unwrap();
        let (summary, inside) = row.split_once("</summary>").unwrap();
        let marks = between(summary, "<b>", "</b>");
        let [marks] = marks.as_slice() else { panic!("row {number} has no marks, or more than once") };
        let pairs: Pairs = marks.split("; ").flat_map(spelt_out).collect();
        let again: Pairs = between(inside, "<li><b>", "</b>").into_iter().flat_map(spelt_out).collect();
        assert!(again.is_empty() || again == pairs, "row {number}: {again:?}, not {pairs:?}");
        (number.parse().unwrap(), pairs)
    };
    rows.map(row).collect()
}

/// What the index of a page leads to: hose, the other hose or nothing, row.
fn index(page: &str) -> BTreeSet<(String, String, usize)> {
    let mut found = BTreeSet::new();
    for hose in between(page, "<div class=\"hoses\">", "</div>")
        .into_iter()
        .flat_map(|all| between(all, "<summary>", "</details>"))
    {
        let (marks, lines) = hose.split_once("</summary>").unwrap();
        for line in between(lines, "<p class=\"run\">", "</p>") {
            let others: Vec<&str> = between(line, "<b>", "</b>").into_iter().flat_map(|it| it.split(", ")).collect();
            for link in between(line, "<a href=\"#x", "</a>") {
                let (first, says) = link.split_once("\">").unwrap();
                let says = says.split(' ').next().unwrap();
                let (from, to) = says.split_once('\u{2013}').unwrap_or((says, says));
                assert_eq!(first, from, "{link}");
                for row in from.parse().unwrap()..=to.parse().unwrap() {
                    let others = if others.is_empty() { vec![""] } else { others.clone() };
                    for mark in marks.split(", ") {
                        found.extend(others.iter().map(|other| (mark.to_owned(), (*other).to_owned(), row)));
                    }
                }
            }
        }
    }
    found
}

#[test]
fn every_pair_of_the_demo_is_found_from_its_hoses() {
    let (mut told, mut lost) = (0, Vec::new());
    for (path, bytes) in DEMO.files.iter().filter(|(path, _)| path.starts_with("crossings/")) {
        let page = text(bytes);
        let index = index(&page);
        let headed: BTreeSet<&str> = index.iter().map(|(mark, ..)| mark.as_str()).collect();
        for (row, pairs) in rows(&page) {
            for [one, other] in pairs {
                told += 1;
                let ways = [(&one, &other), (&other, &one)];
                let here = ways.into_iter().filter(|(mark, _)| headed.contains(mark.as_str()));
                let missing = here.clone().any(|(mark, with)| !index.contains(&(mark.clone(), with.clone(), row)));
                if here.count() == 0 || missing {
                    lost.push(format!("{path}: {one} and {other} in row {row}"));
                }
            }
        }
    }
    assert!(told > 80, "{told}");
    assert_none("pairs that are not found", &lost);
}

/// A circuit of some cylinders behind one valve block, every end within reach of every other.
fn circuit(cylinders: usize) -> String {
    let mut text = "[circuit]\nid = \"lift\"\nname = \"Lift circuit\"\nfluid = \"table-oil\"\nreservoir = \"pump\"\n\n\
                    [[pump]]\nid = \"lift-pump\"\npart = \"pump\"\nforward = \"pump-a\"\nreverse = \"pump-b\"\n"
        .to_owned();
    let mut hose = |mark: &str, side: &str, from: (&str, &str), to: (&str, &str)| {
        let common = "fitting = \"M10x1\"\n";
        for (id, part) in [from, to] {
            let port = format!("[[port]]\nid = \"{id}\"\npart = \"{part}\"\nmark = \"{id}\"\ntakes = [\"{mark}\"]\n");
            write!(text, "\n{port}side = \"{side}\"\nreach = \"frame\"\n{common}").unwrap();
        }
        let row = format!("[[hose]]\nid = \"h-{}\"\nmark = \"{mark}\"\ncolour = \"of {mark}\"\n", mark.to_lowercase());
        let pair = match mark.as_bytes().split_last() {
            Some((b'C', start)) => format!("h-{}r", String::from_utf8_lossy(start).to_lowercase()),
            Some((b'R', start)) => format!("h-{}c", String::from_utf8_lossy(start).to_lowercase()),
            _ => String::new(),
        };
        let pair = if mark.starts_with('P') { String::new() } else { format!("pair = \"{pair}\"\n") };
        let ends = format!("from = \"{}\"\nto = \"{}\"\n", from.0, to.0);
        write!(text, "\n{row}{common}{ends}{pair}part = \"hose-kit\"\nsource = \"manual, 3\"\n").unwrap();
    };
    hose("P1", "pressure", ("pump-a", "pump"), ("block-a", "block"));
    hose("P2", "pressure", ("pump-b", "pump"), ("block-b", "block"));
    for n in 0..cylinders {
        for (letter, side) in [("c", "cap"), ("r", "rod")] {
            let (port, block) = (format!("cylinder-{n}-{letter}"), format!("block-{n}-{letter}"));
            let mark = format!("{n}{}", letter.to_uppercase());
            hose(&mark, side, (&port, "cylinder"), (&block, "block"));
        }
    }
    for n in 0..cylinders {
        let says = format!("extends_says = \"Leg {n} goes down\"\nretracts_says = \"Leg {n} comes up\"\n");
        let ports = format!("cap = \"cylinder-{n}-c\"\nrod = \"cylinder-{n}-r\"\nload = \"pushes in\"\n");
        let row = format!("[[actuator]]\nid = \"cylinder-{n}\"\npart = \"cylinder\"\nname = \"Cylinder {n}\"\n");
        write!(text, "\n{row}{ports}{says}").unwrap();
        let way = |id: &str, kind: &str, from: &str, to: &str, pilot: &str| {
            format!(
                "\n[[passage]]\nid = \"{id}-{n}\"\npart = \"block\"\nkind = \"{kind}\"\nfrom = \"{from}\"\nto = \"{to}-{n}-{pilot}"
            )
        };
        text += &way("hold", "pilot-check", "block-a", "block", "c\"\npilot = \"block-b\"\n");
        text += &way("way", "open", "block-b", "block", "r\"\n");
    }
    text
}

/// The page of crossed hoses of the small guide with such a circuit.
fn page(cylinders: usize) -> String {
    let guide = tempfile::TempDir::new().unwrap();
    let mut files = crate::guides::base();
    files.insert("hoses/lift.toml".to_owned(), circuit(cylinders).into_bytes());
    let block =
        "\n[[part]]\nid = \"block\"\nname = \"Block\"\nkind = \"valve-block\"\nlocation = \"Beside the pump\"\n";
    files.get_mut("parts/parts.toml").unwrap().extend_from_slice(block.as_bytes());
    for (path, bytes) in files {
        let path = guide.path().join(path);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }
    let out = guide.path().join("out");
    let output = run(compile(guide.path(), &out));
    assert!(output.status.success(), "{}{}", text(&output.stdout), text(&output.stderr));
    text(&Site::read(out).files["crossings/lift.html"])
}

#[test]
fn a_circuit_of_many_hoses_has_every_pair_on_a_page_that_stays_small() {
    let (small, large, largest) = (page(7), page(14), page(39));
    for (page, cylinders) in [(&small, 7), (&large, 14), (&largest, 39)] {
        let ends = |n: usize| [format!("{n}C"), format!("{n}R")];
        let marks: Vec<String> = (0..cylinders).flat_map(ends).chain(["P1".to_owned(), "P2".to_owned()]).collect();
        let all = marks.iter().enumerate().flat_map(|(at, one)| marks[..at].iter().map(|other| sorted(one, other)));
        let rows = rows(page);
        assert_eq!(rows.values().flatten().cloned().collect::<Pairs>(), all.collect::<Pairs>());
        // Every form of the index leads from each hose to each of its rows.
        let index = index(page);
        assert!(page.len() <= MOST, "{} bytes", page.len());
        for (row, pairs) in &rows {
            for mark in pairs.iter().flatten() {
                assert!(index.iter().any(|(known, _, to)| known == mark && to == row), "{mark} in row {row}");
            }
        }
    }
}
