//! What crossed hoses do, by what is seen, the most dangerous first; and how to mark hoses so that none can be crossed
//! unseen.

use std::collections::{BTreeMap, BTreeSet};

use super::figures::Figures;
use super::on_machines::{Few, OnMachines};
use super::watched::Watched;
use crate::model::{Actuator, Circuit, Entry, Fault, Id, Kind};
use crate::reason::hydraulics::crossings::{Crossing, Seen};
use crate::reason::hydraulics::{MachineHydraulics, Operation};
use crate::reason::{End, HoseEnd, Rows};
use crate::render::place::Place;
use crate::render::views::hoses as view;

/// Where the page of a circuit's crossings stands.
pub(super) fn path(circuit: &Circuit) -> String {
    format!("crossings/{}.html", circuit.id())
}

/// What is known about the crossings of one circuit.
pub(super) struct Crossed<'g> {
    place: Place<'g>,
    circuit: &'g Circuit,
    directions: BTreeMap<Operation, String>,
    machines: OnMachines<'g>,
    rows: Rows<'g>,
}

/// Crossings that look and work alike, but for the actuators they are about.
struct Group<'g> {
    seen: Seen,
    watched: Watched,
    pairs: Vec<(Pair<'g>, Few)>,
}

/// One crossing of a group.
#[derive(PartialEq)]
struct Pair<'g> {
    crossing: &'g Crossing,
    hoses: String,
    at: String,
    watched: Watched,
}

impl<'g> Crossed<'g> {
    /// On every machine the circuit is for.
    pub(super) fn of(place: Place<'g>, circuit: &'g Circuit) -> Self {
        let all = place.guide.circuits.iter().flat_map(|circuit| Figures::of(place, circuit).directions());
        let (machines, rows) = (OnMachines::of(place, circuit), Rows::of(place.guide));
        Self { place, circuit, directions: all.collect(), machines, rows }
    }

    fn on(&self, machine: &'g MachineHydraulics) -> impl Iterator<Item = &'g Crossing> {
        let ours = |crossing: &&Crossing| crossing.circuits.iter().any(|circuit| circuit.as_str() == self.circuit.id());
        machine.crossings(self.place.guide).all.iter().filter(ours)
    }

    /// One row for all crossings that look and work alike; those that make no difference come last, in one row.
    pub(super) fn rows(&self) -> Vec<view::Crossing> {
        let mut groups: Vec<Group<'g>> = Vec::new();
        for (at, machine) in self.machines.all.iter().enumerate() {
            for crossing in self.on(machine) {
                let watched = Watched::of(machine, crossing);
                let like = |group: &&mut Group<'g>| group.seen == crossing.worst && group.watched.is_like(&watched);
                let pair = self.pair(crossing, watched.clone());
                match groups.iter_mut().find(like) {
                    Some(group) => group.add(pair, at),
                    None => {
                        let pairs = vec![(pair, Few::from([at]))];
                        groups.push(Group { seen: crossing.worst, watched, pairs });
                    }
                }
            }
        }
        groups.sort_by_key(|group| group.seen);
        groups.iter().map(|group| self.row(group)).collect()
    }

    fn row(&self, group: &Group<'_>) -> view::Crossing {
        let hoses: BTreeSet<[&str; 2]> = group.pairs.iter().map(|(pair, _)| hoses(pair.crossing)).collect();
        let faults = self.place.guide.faults.iter().filter(|fault| covers(fault, &hoses));
        let standing = self.place.word("all_standing");
        let direction = |operation: &Operation| self.directions.get(operation).unwrap_or(&standing).clone();
        let pairs = joined(group.pairs.iter().map(|(pair, on)| self.shown(group, pair, on)));
        let said_of = pairs.iter().any(|pair| !pair.instead.is_empty()).then(|| pairs.first()).flatten();
        let said_of = said_of.map(|pair| self.place.said("said_of", &[("pair", pair.hoses.clone())]));
        view::Crossing {
            seen: self.place.word(seen_word(group.seen)),
            scenes: group.watched.worded(&self.place, &self.rows, &direction),
            said_of: said_of.unwrap_or_default(),
            pairs,
            faults: faults.map(|fault| self.place.link(Kind::Fault, fault.id())).collect(),
        }
    }

    fn shown(&self, group: &Group<'_>, pair: &Pair<'_>, on: &Few) -> view::Pair {
        let instead =
            pair.watched.instead_of(&group.watched).into_iter().map(|(this, that)| {
                self.place.said("instead_of", &[("this", self.name(this)), ("that", self.name(that))])
            });
        view::Pair {
            hoses: pair.hoses.clone(),
            at: pair.at.clone(),
            instead: instead.collect::<Vec<_>>().join("; "),
            on: self.machines.named(on),
        }
    }

    fn pair(&self, crossing: &'g Crossing, watched: Watched) -> Pair<'g> {
        let [one, other] = hoses(crossing);
        let parts = crossing.ends.each_ref().map(|end| self.part(end));
        let at = match &parts {
            [Some(one), Some(other)] if one == other => one.clone(),
            parts => parts.iter().flatten().cloned().collect::<Vec<_>>().join(" + "),
        };
        Pair { crossing, hoses: self.marks([one, other]), at, watched }
    }

    fn marks(&self, [one, other]: [&str; 2]) -> String {
        let mark = |id: &str| self.rows.hose(id).map_or(id.to_owned(), |hose| hose.mark.value.clone());
        format!("{}\u{a0}\u{d7}\u{a0}{}", mark(one), mark(other))
    }

    /// The part a hose end is screwed to.
    fn part(&self, end: &HoseEnd) -> Option<String> {
        let hose = self.rows.hose(end.hose.as_str())?;
        let port = if end.end == End::From { hose.from.as_ref()? } else { hose.to.as_ref()? };
        Some(self.place.part(&self.rows.port(port.as_str())?.part).text)
    }

    fn name(&self, actuator: &Id<Actuator>) -> String {
        self.rows.actuator(actuator.as_str()).map_or(String::new(), |it| it.name.value.clone())
    }

    /// Crossings that neither a mark nor a colour gives away.
    pub(super) fn not_told_apart(&self) -> Vec<String> {
        let alike = |machine| {
            let alike = self.on(machine).filter(|crossing| !crossing.marks_differ && !crossing.colours_differ);
            alike.map(|crossing| self.marks(hoses(crossing))).collect::<BTreeSet<_>>().into_iter().collect()
        };
        let labelled = |(pair, on): (String, String)| if on.is_empty() { pair } else { format!("{pair} ({on})") };
        self.machines.gathered(alike).into_iter().map(labelled).collect()
    }

    /// The hoses that may share a colour, one line a colour; only those of this circuit.
    pub(super) fn markings(&self) -> Vec<view::Marking> {
        let all = self.machines.gathered(|machine| vec![self.marking(machine)]);
        all.into_iter()
            .filter(|(groups, _)| !groups.is_empty())
            .map(|(groups, on)| view::Marking { on, groups })
            .collect()
    }

    fn marking(&self, machine: &MachineHydraulics) -> Vec<String> {
        let marking = &machine.crossings(self.place.guide).marking_where_it_matters;
        let mut groups: BTreeMap<usize, Vec<&str>> = BTreeMap::new();
        for hose in &self.circuit.hoses {
            if let Some(colour) = marking.of.get(hose.id.value.as_str()) {
                let marks = groups.entry(*colour).or_default();
                if !marks.contains(&hose.mark.as_str()) {
                    marks.push(&hose.mark);
                }
            }
        }
        groups.into_values().map(|marks| marks.join(", ")).collect()
    }
}

impl<'g> Group<'g> {
    fn add(&mut self, pair: Pair<'g>, machine: usize) {
        let same = |known: &Pair<'_>| known.hoses == pair.hoses && known.at == pair.at && known.watched == pair.watched;
        match self.pairs.iter_mut().find(|(known, _)| same(known)) {
            Some((_, on)) => {
                on.insert(machine);
            }
            None => self.pairs.push((pair, Few::from([machine]))),
        }
    }
}

/// Pairs that differ only in where they are crossed, as one.
fn joined(all: impl Iterator<Item = view::Pair>) -> Vec<view::Pair> {
    let mut pairs: Vec<view::Pair> = Vec::new();
    for pair in all {
        let same =
            |known: &&mut view::Pair| known.hoses == pair.hoses && known.instead == pair.instead && known.on == pair.on;
        match pairs.iter_mut().find(same) {
            Some(known) => known.at = format!("{}; {}", known.at, pair.at),
            None => pairs.push(pair),
        }
    }
    pairs
}

fn hoses(crossing: &Crossing) -> [&str; 2] {
    let [one, other] = &crossing.ends;
    [one.hose.as_str(), other.hose.as_str()]
}

/// True where a cause of a fault is one of these crossings.
fn covers(fault: &Fault, hoses: &BTreeSet<[&str; 2]>) -> bool {
    fault.causes.iter().any(|cause| match cause.crossing.as_slice() {
        [one, other] => {
            let (one, other) = (one.as_str(), other.as_str());
            hoses.contains(&[one, other]) || hoses.contains(&[other, one])
        }
        _ => false,
    })
}

fn seen_word(seen: Seen) -> &'static str {
    match seen {
        Seen::PressureAtReservoir => "seen_pressure_at_reservoir",
        Seen::NothingLimits => "seen_nothing_limits",
        Seen::LoadMoves => "seen_load_moves",
        Seen::DoesNotHold => "seen_does_not_hold",
        Seen::WrongWay => "seen_wrong_way",
        Seen::AnotherMoves => "seen_another_moves",
        Seen::OneSideOnly => "seen_one_side_only",
        Seen::HandPumpDead => "seen_hand_pump_dead",
        Seen::NothingMoves => "seen_nothing_moves",
        Seen::FastAndWeak => "seen_fast_and_weak",
        Seen::FluidAstray => "seen_fluid_astray",
        Seen::OtherSpeed => "seen_other_speed",
        Seen::NoDifference => "seen_no_difference",
    }
}
