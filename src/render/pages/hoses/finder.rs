//! From two hoses to the rows of their crossings; the rows by what is seen.

use std::collections::{BTreeMap, BTreeSet};

use super::crossings::Row;
use crate::render::pages::number;
use crate::render::views::hoses as view;

/// Rows and index together take about this many bytes at most. Where the index of pairs takes more, rows are found by
/// one hose alone; where that does too, by what is seen alone.
const MOST_BYTES: usize = 46_000;

/// The rows by hose: the marks of a circuit's own hoses, in their order, each with all that it can be crossed with.
pub(super) fn by_hose<'m>(rows: &[Row], of: impl Iterator<Item = &'m str>) -> Vec<view::Found> {
    let mut with: BTreeMap<&str, BTreeMap<&str, BTreeSet<usize>>> = BTreeMap::new();
    for (at, row) in rows.iter().enumerate() {
        for [one, other] in &row.pairs {
            for (this, that) in [(one, other), (other, one)] {
                with.entry(this).or_default().entry(that).or_default().insert(at);
            }
        }
    }
    let mut listed = BTreeSet::new();
    let marks: Vec<&str> = of.filter(|mark| listed.insert(*mark) && with.contains_key(mark)).collect();
    let partners = marks.iter().filter_map(|mark| Some((*mark, with.get(mark)?)));
    let pairs = || -> Vec<view::Found> {
        let found = |(mark, partners): (&str, _)| view::Found {
            marks: vec![mark.to_owned()],
            partners: by_partner(rows, partners),
        };
        partners.clone().map(found).collect()
    };
    let told: usize = rows.iter().map(|row| row.row.bytes()).sum();
    let small =
        |found: &Vec<view::Found>| found.iter().map(view::Found::bytes).fold(told, usize::saturating_add) <= MOST_BYTES;
    Some(pairs()).filter(small).or_else(|| Some(by_any(partners.clone())).filter(small)).unwrap_or_default()
}

/// Partners with the same rows share a line; the most dangerous line first, as rows are numbered by danger.
fn by_partner(rows: &[Row], partners: &BTreeMap<&str, BTreeSet<usize>>) -> Vec<view::Partner> {
    let mut alike: BTreeMap<&BTreeSet<usize>, Vec<String>> = BTreeMap::new();
    for (mark, found) in partners {
        alike.entry(found).or_default().push((*mark).to_owned());
    }
    let row = |at: &usize| view::FoundRows {
        first: number(*at),
        last: number(*at),
        seen: rows.get(*at).map(|row| row.row.seen.clone()).unwrap_or_default(),
    };
    alike.into_iter().map(|(found, marks)| view::Partner { marks, rows: found.iter().map(row).collect() }).collect()
}

/// Hoses with the same rows, whichever the other is; rows that follow each other together.
fn by_any<'m>(hoses: impl Iterator<Item = (&'m str, &'m BTreeMap<&'m str, BTreeSet<usize>>)>) -> Vec<view::Found> {
    let mut alike: Vec<(BTreeSet<usize>, Vec<String>)> = Vec::new();
    for (mark, partners) in hoses {
        let all: BTreeSet<usize> = partners.values().flatten().copied().collect();
        match alike.iter_mut().find(|(known, _)| *known == all) {
            Some((_, marks)) => marks.push(mark.to_owned()),
            None => alike.push((all, vec![mark.to_owned()])),
        }
    }
    let found =
        |(rows, marks)| view::Found { marks, partners: vec![view::Partner { marks: Vec::new(), rows: in_runs(rows) }] };
    alike.into_iter().map(found).collect()
}

fn in_runs(rows: BTreeSet<usize>) -> Vec<view::FoundRows> {
    let mut found: Vec<view::FoundRows> = Vec::new();
    for row in rows.into_iter().map(number) {
        match found.last_mut().filter(|last| last.last.checked_add(1) == Some(row)) {
            Some(last) => last.last = row,
            None => found.push(view::FoundRows { first: row, last: row, seen: String::new() }),
        }
    }
    found
}

/// The rows under what is seen; those of a kind follow each other.
pub(super) fn by_kind(rows: Vec<Row>) -> Vec<view::CrossedKind> {
    let mut kinds: Vec<view::CrossedKind> = Vec::new();
    for (at, Row { row, .. }) in rows.into_iter().enumerate() {
        match kinds.last_mut().filter(|last| last.seen == row.seen) {
            Some(last) => last.rows.push(row),
            None => kinds.push(view::CrossedKind { seen: row.seen.clone(), first: number(at), rows: vec![row] }),
        }
    }
    kinds
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(seen: &str, pairs: &[[&str; 2]]) -> Row {
        let row = view::Crossing { seen: seen.to_owned(), ..view::Crossing::default() };
        Row { row, pairs: pairs.iter().map(|pair| pair.map(str::to_owned)).collect() }
    }

    /// Every pair and row as the index has it.
    fn told(found: &[view::Found]) -> Vec<(String, String, u32)> {
        let mut all = Vec::new();
        for one in found {
            for line in &one.partners {
                let rows = line.rows.iter().flat_map(|rows| rows.first..=rows.last);
                all.extend(
                    rows.flat_map(|row| line.marks.iter().map(move |it| (one.marks[0].clone(), it.clone(), row))),
                );
            }
        }
        all
    }

    #[test]
    fn every_pair_leads_to_all_of_its_rows() {
        let rows = [row("a", &[["A", "B"], ["A", "Z"]]), row("a", &[["B", "A"]]), row("b", &[["B", "Z"]])];
        let want = [("B", "A", 1), ("B", "A", 2), ("B", "Z", 3), ("A", "Z", 1), ("A", "B", 1), ("A", "B", 2)];
        let want: Vec<_> = want.into_iter().map(|(one, other, row)| (one.to_owned(), other.to_owned(), row)).collect();
        let found = by_hose(&rows, ["B", "A", "B", "unused"].into_iter());
        assert_eq!(told(&found), want);
        assert_eq!(found[0].partners[1].rows[0].seen, "b");
        let kinds: Vec<_> = by_kind(rows.into()).into_iter().map(|one| (one.seen, one.first, one.rows.len())).collect();
        assert_eq!(kinds, [("a".to_owned(), 1, 2), ("b".to_owned(), 3, 1)]);
    }

    #[test]
    fn partners_with_the_same_rows_share_a_line() {
        let found = by_hose(&[row("a", &[["A", "B"], ["A", "C"]])], ["A", "B"].into_iter());
        assert_eq!(found[0].partners.len(), 1);
        assert_eq!(found[0].partners[0].marks, ["B", "C"]);
    }

    /// The hose n is crossed with all before it in row n - 1, and so with all after it in theirs.
    fn crossed_with_all_before(hoses: usize, length: usize) -> Vec<view::Found> {
        let marks: Vec<String> = (0..hoses).map(|at| format!("H{at}{}", "x".repeat(length))).collect();
        let pairs = |at: usize| -> Vec<[&str; 2]> {
            (0..at).map(|other| [marks[at].as_str(), marks[other].as_str()]).collect()
        };
        let rows: Vec<Row> = (1..hoses).map(|at| row("a", &pairs(at))).collect();
        by_hose(&rows, marks.iter().map(String::as_str))
    }

    #[test]
    fn of_many_pairs_each_hose_leads_to_its_rows() {
        let found = crossed_with_all_before(60, 0);
        // The first two stand in the same rows.
        assert_eq!(found.len(), 59);
        assert_eq!(found[0].marks, ["H0", "H1"]);
        assert!(found.iter().all(|one| one.partners.len() == 1 && one.partners[0].marks.is_empty()));
        let rows = &found[3].partners[0].rows;
        assert_eq!(rows.iter().map(|rows| (rows.first, rows.last)).collect::<Vec<_>>(), [(4, 59)]);
        assert!(crossed_with_all_before(60, 1000).is_empty());
    }
}
