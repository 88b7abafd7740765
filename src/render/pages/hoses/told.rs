//! Pairs as they are told.

use std::collections::BTreeMap;

use crate::render::views::hoses as view;

/// A pair as it is told.
#[derive(Clone)]
pub(super) struct Shown<'g> {
    pub(super) marks: [&'g str; 2],
    pub(super) at: String,
    pub(super) instead: String,
    /// Nothing but the cylinders that the hoses lead to take other places.
    pub(super) natural: bool,
    pub(super) on: String,
}

impl Shown<'_> {
    pub(super) fn hoses(&self) -> String {
        crossed_marks(&self.marks)
    }

    pub(super) fn view(&self) -> view::Pair {
        let (hoses, at) = (self.hoses(), self.at.clone());
        view::Pair { hoses, at, instead: self.instead.clone(), on: self.on.clone() }
    }

    /// As a line of many.
    pub(super) fn view_in_line(&self) -> view::Pair {
        let instead = if self.natural { String::new() } else { self.instead.clone() };
        view::Pair { instead, ..self.view() }
    }
}

/// Pairs that differ only in where they are crossed, as one.
pub(super) fn joined<'g>(all: impl Iterator<Item = Shown<'g>>) -> Vec<Shown<'g>> {
    let mut pairs: Vec<Shown<'g>> = Vec::new();
    let mut known: BTreeMap<([&'g str; 2], String, String), usize> = BTreeMap::new();
    for pair in all {
        let next = pairs.len();
        let place = *known.entry((pair.marks, pair.instead.clone(), pair.on.clone())).or_insert(next);
        match pairs.get_mut(place) {
            Some(known) => known.at = format!("{}; {}", known.at, pair.at),
            None => pairs.push(pair),
        }
    }
    pairs
}

pub(super) fn crossed_marks([one, other]: &[&str; 2]) -> String {
    format!("{one}\u{a0}\u{d7}\u{a0}{other}")
}

/// What pairs have in common is said once, above them: their place and their machines. Those that say no more are left
/// out.
pub(super) fn apart(pairs: Vec<view::Pair>) -> (String, String, Vec<view::Pair>) {
    let same = |of: fn(&view::Pair) -> &str| {
        let first = pairs.first().map(of).unwrap_or_default();
        if pairs.iter().all(|pair| of(pair) == first) { first.to_owned() } else { String::new() }
    };
    let (at, on) = (same(|pair| &pair.at), same(|pair| &pair.on));
    let own = |own: String, common: &str| if common.is_empty() { own } else { String::new() };
    let rest: Vec<view::Pair> =
        pairs.into_iter().map(|pair| view::Pair { at: own(pair.at, &at), on: own(pair.on, &on), ..pair }).collect();
    let says = |pair: &view::Pair| !(pair.at.is_empty() && pair.on.is_empty() && pair.instead.is_empty());
    let rest = if rest.iter().any(says) { rest } else { Vec::new() };
    (at, on, rest)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn pair(hoses: &str, at: &str, on: &str, instead: &str) -> view::Pair {
        let [hoses, at, on, instead] = [hoses, at, on, instead].map(str::to_owned);
        view::Pair { hoses, at, instead, on }
    }

    #[test]
    fn what_pairs_have_in_common_is_said_once() {
        let (at, on, rest) = apart(vec![pair("A x B", "block", "", ""), pair("A x C", "block", "", "")]);
        assert_eq!((at.as_str(), on.as_str(), rest), ("block", "", Vec::new()));
        let (at, on, rest) = apart(vec![pair("A x B", "block", "b", ""), pair("A x C", "pump", "b", "")]);
        let want = vec![pair("A x B", "block", "", ""), pair("A x C", "pump", "", "")];
        assert_eq!((at.as_str(), on.as_str(), rest), ("", "b", want));
        let (at, _, rest) = apart(vec![pair("A x B", "block", "", ""), pair("A x C", "block", "", "left for right")]);
        assert_eq!((at.as_str(), rest.len()), ("block", 2));
    }
}
