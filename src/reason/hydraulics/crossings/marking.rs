//! The fewest colours that tell apart every two hoses that can be exchanged: exact graph colouring.

use std::collections::{BTreeMap, BTreeSet};

use super::facts::Marking;
use crate::model::{Hose, Id};

/// After so many steps the best marking found stands, and does not claim to be the least.
const MOST_STEPS: usize = 200_000;

/// The search goes as deep as there are hoses: a larger machine gets the first marking found.
const DEEPEST: usize = 100;

/// Colours the hoses so that no two of a pair share one.
pub(super) fn marking(pairs: &BTreeSet<[Id<Hose>; 2]>) -> Marking {
    let hoses: Vec<&Id<Hose>> = pairs.iter().flatten().collect::<BTreeSet<_>>().into_iter().collect();
    let number: BTreeMap<&Id<Hose>, usize> = hoses.iter().enumerate().map(|(index, hose)| (*hose, index)).collect();
    let mut near = vec![BTreeSet::new(); hoses.len()];
    for [one, other] in pairs {
        let (Some(&one), Some(&other)) = (number.get(one), number.get(other)) else { continue };
        join(&mut near, one, other);
        join(&mut near, other, one);
    }
    let mut search = Search { near, colours: vec![None; hoses.len()], best: None, steps: 0 };
    search.first();
    let fewest = hoses.len() <= DEEPEST && {
        search.go(0);
        search.steps < MOST_STEPS
    };
    let (count, colours) = search.best.unwrap_or_default();
    let of = hoses.into_iter().cloned().zip(colours).collect();
    Marking { colours: count, of, fewest }
}

fn join(near: &mut [BTreeSet<usize>], one: usize, other: usize) {
    if let Some(set) = near.get_mut(one) {
        set.insert(other);
    }
}

/// Branch and bound: the hose with the fewest colours left comes first (Brélaz 1979, from memory).
struct Search {
    near: Vec<BTreeSet<usize>>,
    colours: Vec<Option<usize>>,
    best: Option<(usize, Vec<usize>)>,
    steps: usize,
}

impl Search {
    /// A first marking: each hose takes the first colour that is free around it.
    fn first(&mut self) {
        let mut used = 0;
        while let Some(next) = self.next() {
            let taken = self.taken(next);
            let colour = (0..=used).find(|colour| !taken.contains(colour)).unwrap_or(used);
            used = used.max(colour + 1);
            self.set(next, Some(colour));
        }
        self.best = Some((used, self.colours.iter().copied().flatten().collect()));
        self.colours.fill(None);
    }

    fn go(&mut self, used: usize) {
        self.steps += 1;
        if self.best.as_ref().is_some_and(|(best, _)| used >= *best || self.steps > MOST_STEPS) {
            return;
        }
        let Some(next) = self.next() else {
            self.best = Some((used, self.colours.iter().copied().flatten().collect()));
            return;
        };
        let taken = self.taken(next);
        for colour in (0..=used).filter(|colour| !taken.contains(colour)) {
            self.set(next, Some(colour));
            self.go(used.max(colour + 1));
        }
        self.set(next, None);
    }

    fn set(&mut self, hose: usize, colour: Option<usize>) {
        if let Some(slot) = self.colours.get_mut(hose) {
            *slot = colour;
        }
    }

    fn taken(&self, hose: usize) -> BTreeSet<usize> {
        let near = self.near.get(hose).into_iter().flatten();
        near.filter_map(|other| self.colours.get(*other).copied().flatten()).collect()
    }

    /// The hose without a colour that has the most colours around it, then the most neighbours.
    fn next(&self) -> Option<usize> {
        let open = (0..self.colours.len()).filter(|hose| self.colours.get(*hose) == Some(&None));
        open.max_by_key(|hose| {
            let degree = self.near.get(*hose).map_or(0, BTreeSet::len);
            (self.taken(*hose).len(), degree, usize::MAX - hose)
        })
    }
}

#[cfg(test)]
mod tests;
