//! From two hoses to the rows of their crossings, and from what is seen to its first row.

use std::collections::{BTreeMap, BTreeSet};

use super::crossings::Row;
use crate::render::pages::number;
use crate::render::views::hoses as view;

/// More pairs than these are found by one hose alone.
const MOST_PAIRS: usize = 150;

/// The rows by hose: the marks of a circuit's own hoses, in their order, each with all that it can be crossed with.
pub(super) fn by_hose<'m>(rows: &[Row], of: impl Iterator<Item = &'m str>) -> Vec<view::Found> {
    let mut with: BTreeMap<&str, BTreeMap<&str, BTreeSet<u32>>> = BTreeMap::new();
    for (at, row) in rows.iter().enumerate() {
        for [one, other] in &row.pairs {
            for (this, that) in [(one, other), (other, one)] {
                with.entry(this).or_default().entry(that).or_default().insert(number(at));
            }
        }
    }
    let mut listed = BTreeSet::new();
    let marks: Vec<&str> = of.filter(|mark| listed.insert(*mark) && with.contains_key(mark)).collect();
    let all: usize = with.values().map(BTreeMap::len).sum();
    let found = |mark: &str| {
        let partners = with.get(mark).into_iter().flatten();
        let partners: Vec<view::Partner> = if all > 2 * MOST_PAIRS {
            let rows: BTreeSet<u32> = partners.flat_map(|(_, rows)| rows.iter().copied()).collect();
            vec![view::Partner { mark: String::new(), rows: rows.into_iter().collect() }]
        } else {
            partners
                .map(|(mark, rows)| view::Partner { mark: (*mark).to_owned(), rows: rows.iter().copied().collect() })
                .collect()
        };
        view::Found { mark: mark.to_owned(), partners }
    };
    marks.into_iter().map(found).collect()
}

/// What is seen, with the rows that tell of it; they stand together.
pub(super) fn by_sight(rows: &[Row]) -> Vec<view::FoundSight> {
    let mut found: Vec<view::FoundSight> = Vec::new();
    for (at, row) in rows.iter().enumerate() {
        match found.last_mut().filter(|last| last.seen == row.row.seen) {
            Some(last) => last.last = number(at),
            None => found.push(view::FoundSight { seen: row.row.seen.clone(), first: number(at), last: number(at) }),
        }
    }
    found
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
        let of = |one: &view::Found, other: &view::Partner| {
            other.rows.iter().map(|row| (one.mark.clone(), other.mark.clone(), *row)).collect::<Vec<_>>()
        };
        found.iter().flat_map(|one| one.partners.iter().flat_map(move |other| of(one, other))).collect()
    }

    #[test]
    fn every_pair_leads_to_all_of_its_rows() {
        let rows = [row("a", &[["A", "B"], ["A", "Z"]]), row("a", &[["B", "A"]]), row("b", &[["B", "Z"]])];
        let want = [("B", "A", 1), ("B", "A", 2), ("B", "Z", 3), ("A", "B", 1), ("A", "B", 2), ("A", "Z", 1)];
        let want: Vec<_> = want.into_iter().map(|(one, other, row)| (one.to_owned(), other.to_owned(), row)).collect();
        assert_eq!(told(&by_hose(&rows, ["B", "A", "B", "unused"].into_iter())), want);
        let sights: Vec<_> = by_sight(&rows).into_iter().map(|one| (one.seen, one.first, one.last)).collect();
        assert_eq!(sights, [("a".to_owned(), 1, 2), ("b".to_owned(), 3, 3)]);
    }

    #[test]
    fn of_many_pairs_each_hose_leads_to_its_rows() {
        let marks: Vec<String> = (0..20).map(|at| format!("H{at}")).collect();
        let pairs = |at: usize| -> Vec<[&str; 2]> {
            (0..at).map(|other| [marks[at].as_str(), marks[other].as_str()]).collect()
        };
        let rows: Vec<Row> = (1..20).map(|at| row("a", &pairs(at))).collect();
        let found = by_hose(&rows, marks.iter().map(String::as_str));
        assert_eq!(found.len(), 20);
        assert!(found.iter().all(|one| one.partners.len() == 1 && one.partners[0].mark.is_empty()));
        // The hose n stands in its own row and in those of all later ones.
        assert_eq!(found[4].partners[0].rows, (4..20).collect::<Vec<u32>>());
    }
}
