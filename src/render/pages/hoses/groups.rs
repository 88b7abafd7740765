//! Crossings that look and work alike, and those of several machines that are the same but for what is seen.

use std::collections::BTreeMap;
use std::rc::Rc;

use super::on_machines::Few;
use super::watched::Watched;
use crate::model::{Actuator, Id};
use crate::reason::hydraulics::crossings::Seen;

/// Crossings that look and work alike, but for the actuators they are about.
pub(super) struct Group<'g> {
    pub(super) seen: Seen,
    /// What is seen, and on which of the group's machines: once, until groups are merged. Pairs are held against the first.
    pub(super) watched: Vec<(Rc<Watched>, Few)>,
    pub(super) pairs: Vec<(Pair<'g>, Few)>,
    /// Pairs by their hoses and their place.
    known: BTreeMap<([&'g str; 2], String), Vec<usize>>,
}

/// One crossing of a group.
pub(super) struct Pair<'g> {
    pub(super) hoses: [&'g str; 2],
    pub(super) at: String,
    pub(super) watched: Rc<Watched>,
}

/// What groups of several machines must share to be told in one row: the worst that is seen, and each pair with its
/// place and the actuators it is about.
type Identity<'g> = (Seen, Vec<([&'g str; 2], String, Vec<[Id<Actuator>; 2]>)>);

impl<'g> Group<'g> {
    pub(super) fn of(seen: Seen, watched: &Rc<Watched>) -> Self {
        let watched = vec![(Rc::clone(watched), Few::new())];
        Self { seen, watched, pairs: Vec::new(), known: BTreeMap::new() }
    }

    pub(super) fn add(&mut self, pair: Pair<'g>, machine: usize) {
        for (_, on) in &mut self.watched {
            on.insert(machine);
        }
        let known = self.known.entry((pair.hoses, pair.at.clone())).or_default();
        let same = |place: &&usize| self.pairs.get(**place).is_some_and(|(one, _)| one.watched == pair.watched);
        match known.iter().find(same).and_then(|place| self.pairs.get_mut(*place)) {
            Some((_, on)) => {
                on.insert(machine);
            }
            None => {
                known.push(self.pairs.len());
                self.pairs.push((pair, Few::from([machine])));
            }
        }
    }

    /// Which actuators take the places of those in the group's scenes, for one of its pairs.
    pub(super) fn instead_of<'a>(&'a self, pair: &'a Pair<'g>) -> Vec<(&'a Id<Actuator>, &'a Id<Actuator>)> {
        self.watched.first().map(|(first, _)| pair.watched.instead_of(first)).unwrap_or_default()
    }

    /// Nothing where the pairs do not stand on the same machines.
    fn identity(&self) -> Option<Identity<'g>> {
        let (_, on) = self.watched.first()?;
        let pairs = self.pairs.iter().map(|(pair, own)| {
            let instead = self.instead_of(pair).into_iter().map(|(this, that)| [this.clone(), that.clone()]);
            (own == on).then(|| (pair.hoses, pair.at.clone(), instead.collect()))
        });
        let mut pairs = pairs.collect::<Option<Vec<_>>>()?;
        pairs.sort();
        Some((self.seen, pairs))
    }

    /// Whether the two have no machine in common.
    fn stands_elsewhere(&self, other: &Self) -> bool {
        let on = |group: &Self| group.watched.iter().flat_map(|(_, on)| on.iter().copied()).collect::<Few>();
        on(self).is_disjoint(&on(other))
    }

    /// Takes in what is seen of the same pairs on other machines.
    fn take_in(&mut self, other: Self) {
        self.watched.extend(other.watched);
        for (_, on) in &mut self.pairs {
            on.extend(other.pairs.iter().flat_map(|(_, on)| on.iter().copied()));
        }
    }
}

/// Groups of several machines that are about the same pairs, as one: a reader finds a pair once, whatever the machine.
pub(super) fn merged(groups: Vec<Group<'_>>) -> Vec<Group<'_>> {
    let mut all: Vec<Group<'_>> = Vec::new();
    let mut known: BTreeMap<Identity<'_>, usize> = BTreeMap::new();
    for group in groups {
        let identity = group.identity();
        let place = identity.as_ref().and_then(|identity| known.get(identity).copied());
        // Two crossings of the same hoses on one machine do what each does, not both.
        match place.and_then(|place| all.get_mut(place)).filter(|first| first.stands_elsewhere(&group)) {
            Some(first) => first.take_in(group),
            None => {
                known.extend(identity.map(|identity| (identity, all.len())));
                all.push(group);
            }
        }
    }
    all
}

#[cfg(test)]
mod tests {
    use super::*;

    fn group(seen: Seen, hoses: &[[&'static str; 2]], machine: usize) -> Group<'static> {
        let watched = Rc::new(Watched::default());
        let mut group = Group::of(seen, &watched);
        for hoses in hoses {
            group.add(Pair { hoses: *hoses, at: "block".to_owned(), watched: Rc::clone(&watched) }, machine);
        }
        group
    }

    #[test]
    fn groups_of_the_same_pairs_are_one_with_what_is_seen_on_each_machine() {
        let (ab, cd) = (["a", "b"], ["c", "d"]);
        let mixed = {
            // One pair stands on one machine more than the other.
            let mut group = group(Seen::WrongWay, &[ab, cd], 0);
            group.add(Pair { hoses: ab, at: "block".to_owned(), watched: Rc::new(Watched::default()) }, 1);
            group
        };
        let all = vec![
            group(Seen::LoadMoves, &[ab, cd], 0),
            group(Seen::LoadMoves, &[cd, ab], 1),
            group(Seen::LoadMoves, &[ab, cd], 1),
            group(Seen::LoadMoves, &[ab], 2),
            group(Seen::NothingLimits, &[ab, cd], 3),
            mixed,
            group(Seen::WrongWay, &[ab, cd], 2),
        ];
        let merged = merged(all);
        let seen: Vec<(Seen, usize, usize)> =
            merged.iter().map(|group| (group.seen, group.watched.len(), group.pairs.len())).collect();
        let want = [
            (Seen::LoadMoves, 2, 2),
            (Seen::LoadMoves, 1, 2),
            (Seen::LoadMoves, 1, 1),
            (Seen::NothingLimits, 1, 2),
            (Seen::WrongWay, 1, 2),
            (Seen::WrongWay, 1, 2),
        ];
        assert_eq!(seen, want);
        assert!(merged[0].pairs.iter().all(|(_, on)| *on == Few::from([0, 1])));
    }
}
