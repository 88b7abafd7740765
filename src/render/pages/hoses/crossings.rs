//! What crossed hoses do, by what is seen, the most dangerous first; and how to mark hoses so that none can be crossed
//! unseen.

use std::collections::{BTreeMap, BTreeSet};

use super::figures::{Figures, does_word};
use crate::model::{Circuit, Entry, Fault, Hose, Id, Kind};
use crate::reason::hydraulics::crossings::{Crossing, Difference, Seen};
use crate::reason::hydraulics::{MachineHydraulics, Operation};
use crate::reason::{Machine, machines_of};
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
    machine: Option<&'g MachineHydraulics>,
}

impl<'g> Crossed<'g> {
    /// For the first machine the circuit is for.
    pub(super) fn of(place: Place<'g>, circuit: &'g Circuit, figures: &Figures<'g>) -> Self {
        let machines: Vec<Machine> = machines_of(place.guide, &circuit.head);
        let machine = machines.first().and_then(|machine| place.facts.hydraulics.on(machine));
        Self { place, circuit, directions: figures.directions().into_iter().collect(), machine }
    }

    fn all(&self) -> impl Iterator<Item = &'g Crossing> {
        let crossings = self.machine.map(|machine| machine.crossings(self.place.guide));
        let ours = |crossing: &&Crossing| crossing.circuits.iter().any(|circuit| circuit.as_str() == self.circuit.id());
        crossings.into_iter().flat_map(|crossings| &crossings.all).filter(ours)
    }

    /// One row for all crossings that look and work alike; those that make no difference come last, in one row.
    pub(super) fn rows(&self) -> Vec<view::Crossing> {
        let mut rows: Vec<(Seen, String, Vec<&Crossing>)> = Vec::new();
        for crossing in self.all() {
            let effect = self.effect(crossing);
            match rows.iter_mut().find(|row| row.0 == crossing.worst && row.1 == effect) {
                Some(row) => row.2.push(crossing),
                None => rows.push((crossing.worst, effect, vec![crossing])),
            }
        }
        rows.into_iter().map(|(seen, effect, crossings)| self.row(seen, effect, &crossings)).collect()
    }

    fn row(&self, seen: Seen, effect: String, crossings: &[&Crossing]) -> view::Crossing {
        let pairs: BTreeSet<String> = crossings.iter().map(|crossing| self.pair(crossing)).collect();
        let hoses: BTreeSet<[&str; 2]> = crossings.iter().map(|crossing| hoses(crossing)).collect();
        let faults = self.place.guide.faults.iter().filter(|fault| covers(fault, &hoses));
        view::Crossing {
            ends: pairs.into_iter().collect(),
            seen: self.place.word(seen_word(seen)),
            effect_html: crate::render::markdown::escaped(&effect),
            faults: faults.map(|fault| self.place.link(Kind::Fault, fault.id())).collect(),
        }
    }

    fn mark(&self, hose: &str) -> String {
        let all = self.place.guide.circuits.iter().flat_map(|circuit| &circuit.hoses);
        all.into_iter().find(|it| it.id.value == hose).map_or(hose.to_owned(), |it: &Hose| it.mark.value.clone())
    }

    fn pair(&self, crossing: &Crossing) -> String {
        let [one, other] = hoses(crossing);
        format!("{}\u{a0}\u{d7}\u{a0}{}", self.mark(one), self.mark(other))
    }

    /// What changes, direction by direction; actuators that change alike share a sentence.
    fn effect(&self, crossing: &Crossing) -> String {
        let said: Vec<String> = crossing.differences.iter().filter_map(|difference| self.change(difference)).collect();
        said.join(" ")
    }

    fn change(&self, difference: &Difference) -> Option<String> {
        let standing = self.place.word("all_standing");
        let direction = match &difference.operation {
            Operation::Standing => &standing,
            run => self.directions.get(run)?,
        };
        let mut by_change: BTreeMap<&'static str, Vec<String>> = BTreeMap::new();
        for (actuator, change) in &difference.actuators {
            let moves = change.crossed.load_moves.is_some() && change.crossed.does.motion().is_none();
            let word = if moves { "does_load_moves" } else { does_word(change.crossed.does) };
            by_change.entry(word).or_default().push(self.name(actuator));
        }
        let worst = difference.seen.first().map(|seen| self.place.word(seen_word(*seen)));
        let changes: Vec<String> = by_change
            .into_iter()
            .map(|(word, names)| format!("{}: {}", names.join(" + "), self.place.word(word)))
            .collect();
        let what = if changes.is_empty() { worst? } else { changes.join("; ") };
        Some(format!("{direction}: {what}."))
    }

    fn name(&self, actuator: &Id<crate::model::Actuator>) -> String {
        let all = self.place.guide.circuits.iter().flat_map(|circuit| &circuit.actuators);
        all.into_iter().find(|it| it.id.value == actuator.as_str()).map_or(String::new(), |it| it.name.value.clone())
    }

    /// Crossings that neither a mark nor a colour gives away.
    pub(super) fn not_told_apart(&self) -> Vec<String> {
        let alike = self.all().filter(|crossing| !crossing.marks_differ && !crossing.colours_differ);
        let pairs: BTreeSet<String> = alike.map(|crossing| self.pair(crossing)).collect();
        pairs.into_iter().collect()
    }

    /// The hoses that may share a colour, one line a colour; only those of this circuit.
    pub(super) fn marking(&self) -> Vec<String> {
        let Some(machine) = self.machine else { return Vec::new() };
        let marking = &machine.crossings(self.place.guide).marking_where_it_matters;
        let mut groups: BTreeMap<usize, Vec<&str>> = BTreeMap::new();
        for hose in &self.circuit.hoses {
            if let Some(colour) = marking.of.get(hose.id.value.as_str()) {
                groups.entry(*colour).or_default().push(&hose.mark);
            }
        }
        groups.into_values().map(|marks| marks.join(", ")).collect()
    }
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
