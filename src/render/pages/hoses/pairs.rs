//! Many pairs in few lines: "any two of A, B, C", and "A, B with C, D, E". No pair is lost, and none is added.

use std::collections::{BTreeMap, BTreeSet};

/// Some pairs in one line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Line<'m> {
    /// Every two of these.
    AnyTwo(Vec<&'m str>),
    /// Each of the first with each of the second.
    Each(Vec<&'m str>, Vec<&'m str>),
}

/// Puts pairs of marks into lines; marks keep the order in which they come up.
pub(super) fn lines<'m>(pairs: &[[&'m str; 2]]) -> Vec<Line<'m>> {
    let mut graph = Graph::of(pairs);
    let mut lines = graph.cliques();
    lines.extend(graph.stars());
    lines
}

struct Graph<'m> {
    marks: Vec<&'m str>,
    near: Vec<BTreeSet<usize>>,
}

impl<'m> Graph<'m> {
    fn of(pairs: &[[&'m str; 2]]) -> Self {
        let mut graph = Self { marks: Vec::new(), near: Vec::new() };
        let mut number: BTreeMap<&str, usize> = BTreeMap::new();
        for pair in pairs {
            let [one, other] = pair.map(|mark| *number.entry(mark).or_insert_with(|| graph.add(mark)));
            graph.near.get_mut(one).map(|near| near.insert(other));
            graph.near.get_mut(other).map(|near| near.insert(one));
        }
        graph
    }

    fn add(&mut self, mark: &'m str) -> usize {
        self.marks.push(mark);
        self.near.push(BTreeSet::new());
        self.marks.len() - 1
    }

    fn named(&self, places: &BTreeSet<usize>) -> Vec<&'m str> {
        places.iter().filter_map(|place| self.marks.get(*place).copied()).collect()
    }

    /// Marks that are each paired with all of the others, and alike with the rest.
    fn cliques(&mut self) -> Vec<Line<'m>> {
        let mut alike: BTreeMap<BTreeSet<usize>, BTreeSet<usize>> = BTreeMap::new();
        for (place, near) in self.near.iter().enumerate() {
            // A mark that is paired with itself would be told as paired with another.
            if !near.contains(&place) {
                let mut closed = near.clone();
                closed.insert(place);
                alike.entry(closed).or_default().insert(place);
            }
        }
        let mut all: Vec<BTreeSet<usize>> = alike.into_values().filter(|places| places.len() > 2).collect();
        all.sort();
        for places in &all {
            for place in places {
                if let Some(near) = self.near.get_mut(*place) {
                    near.retain(|other| !places.contains(other));
                }
            }
        }
        all.iter().map(|places| Line::AnyTwo(self.named(places))).collect()
    }

    /// What is left: marks that are paired with the same others, together.
    fn stars(&mut self) -> Vec<Line<'m>> {
        let mut lines = Vec::new();
        for place in 0..self.near.len() {
            let Some(near) = self.near.get(place).filter(|near| !near.is_empty()).cloned() else { continue };
            let alike: BTreeSet<usize> =
                (place..self.near.len()).filter(|it| self.near.get(*it) == Some(&near)).collect();
            for (one, other) in alike.iter().flat_map(|one| near.iter().map(move |other| (*one, *other))) {
                self.near.get_mut(one).map(|set| set.remove(&other));
                self.near.get_mut(other).map(|set| set.remove(&one));
            }
            lines.push(Line::Each(self.named(&alike), self.named(&near)));
        }
        lines
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sorted<'m>(one: &'m str, other: &'m str) -> [&'m str; 2] {
        if one <= other { [one, other] } else { [other, one] }
    }

    /// The pairs that lines stand for.
    fn spelt_out<'m>(lines: &[Line<'m>]) -> Vec<[&'m str; 2]> {
        let mut pairs = Vec::new();
        for line in lines {
            match line {
                Line::AnyTwo(marks) => {
                    for (at, one) in marks.iter().enumerate() {
                        pairs.extend(marks.iter().skip(at + 1).map(|other| sorted(one, other)));
                    }
                }
                Line::Each(these, those) => {
                    for one in these {
                        pairs.extend(those.iter().map(|other| sorted(one, other)));
                    }
                }
            }
        }
        pairs.sort_unstable();
        pairs
    }

    #[test]
    fn forty_hoses_of_which_any_two_can_be_crossed_are_one_line() {
        let marks: Vec<String> = (0..40).map(|at| format!("H{at}")).collect();
        let all: Vec<[&str; 2]> = (0..40)
            .flat_map(|one| (0..one).map(move |other| (one, other)))
            .map(|(one, other)| [marks[one].as_str(), marks[other].as_str()])
            .collect();
        assert_eq!(lines(&all).len(), 1);
        let halves: Vec<[&str; 2]> =
            all.iter().copied().filter(|pair| pair.iter().filter(|mark| mark.len() == 2).count() == 1).collect();
        assert!(matches!(lines(&halves).as_slice(), [Line::Each(these, those)] if these.len() + those.len() == 40));
        assert!(matches!(lines(&[["A", "A"]]).as_slice(), [Line::Each(_, _)]));
    }

    proptest::proptest! {
        #[test]
        fn no_pair_is_lost_and_none_is_added(pairs in proptest::collection::vec((0_usize..9, 0_usize..9), 0..40)) {
            let marks = ["A", "B", "C", "D", "E", "F", "G", "H", "I"];
            let pairs: Vec<[&str; 2]> = pairs.iter().map(|(one, other)| [marks[*one], marks[*other]]).collect();
            let want: BTreeSet<[&str; 2]> = pairs.iter().map(|[one, other]| sorted(one, other)).collect();
            let told = spelt_out(&lines(&pairs));
            proptest::prop_assert_eq!(told.iter().copied().collect::<BTreeSet<_>>(), want);
        }
    }
}
