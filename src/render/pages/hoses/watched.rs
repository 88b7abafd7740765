//! What somebody sees who watches the machine with two hoses crossed, one direction of a pump after the other.

use std::collections::{BTreeMap, BTreeSet};
use std::rc::Rc;

use super::on_machines::Few;
use crate::model::{Actuator, Id, Motion};
use crate::reason::Rows;
use crate::reason::hydraulics::crossings::{Crossing, Difference, Seen, Sight};
use crate::reason::hydraulics::{MachineHydraulics, Operation};
use crate::render::place::Place;
use crate::render::views::hoses as view;

/// The way that an actuator is seen to move.
fn motion(sight: Sight) -> Option<Motion> {
    match sight {
        Sight::ByLoad(motion) | Sight::WrongWay(motion) | Sight::Unbidden(motion) => Some(motion),
        Sight::FastAndWeak(motion) | Sight::Faster(motion) | Sight::Slower(motion) => Some(motion),
        Sight::Creeps | Sight::Unheld | Sight::Stuck | Sight::Weak | Sight::Still => None,
    }
}

fn is_danger(sight: Sight) -> bool {
    matches!(sight, Sight::ByLoad(_) | Sight::Creeps | Sight::Unheld)
}

fn sight_word(sight: Sight) -> &'static str {
    match sight {
        Sight::ByLoad(_) => "sight_by_load",
        Sight::Creeps => "sight_creeps",
        Sight::Unheld => "sight_unheld",
        Sight::WrongWay(_) => "sight_wrong_way",
        Sight::Unbidden(_) => "sight_unbidden",
        Sight::FastAndWeak(_) => "sight_fast_and_weak",
        Sight::Stuck => "sight_stuck",
        Sight::Weak => "sight_weak",
        Sight::Still => "sight_still",
        Sight::Faster(_) => "sight_faster",
        Sight::Slower(_) => "sight_slower",
    }
}

/// One direction: what is seen of the whole, and of each actuator.
#[derive(Debug, Clone, PartialEq, Eq)]
struct Scene {
    operation: Operation,
    whole: Vec<Overall>,
    sights: BTreeMap<Id<Actuator>, Sight>,
}

/// What is seen of the machine as a whole.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Overall {
    Shows(Seen),
    /// Nothing that the direction should move does.
    NothingThatShould,
}

/// All directions that differ. Two crossings with one likeness differ only in which actuators they are about.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Watched {
    scenes: Vec<Scene>,
    likeness: Likeness,
    by_likeness: BTreeMap<Profile, BTreeSet<Id<Actuator>>>,
}

/// What is seen in each scene of the whole, and of how many actuators alike.
pub(super) type Likeness = (Vec<(Operation, Vec<Overall>)>, Vec<Profile>);

/// What one actuator is seen to do in the scenes, by their number.
type Profile = Vec<(usize, Sight)>;

impl Watched {
    pub(super) fn of(machine: &MachineHydraulics, crossing: &Crossing) -> Self {
        let scenes: Vec<Scene> = crossing.differences.iter().filter_map(|it| scene(machine, it)).collect();
        let mut profiles: BTreeMap<Id<Actuator>, Profile> = BTreeMap::new();
        for (at, scene) in scenes.iter().enumerate() {
            for (actuator, sight) in &scene.sights {
                profiles.entry(actuator.clone()).or_default().push((at, *sight));
            }
        }
        let mut alike: Vec<Profile> = profiles.values().cloned().collect();
        alike.sort();
        let wholes = scenes.iter().map(|scene| (scene.operation.clone(), scene.whole.clone())).collect();
        let mut by_likeness: BTreeMap<Profile, BTreeSet<Id<Actuator>>> = BTreeMap::new();
        for (actuator, profile) in profiles {
            by_likeness.entry(profile).or_default().insert(actuator);
        }
        Self { scenes, likeness: (wholes, alike), by_likeness }
    }

    /// What is the same for all that look the same but for which actuators they are about.
    pub(super) fn likeness(&self) -> Likeness {
        self.likeness.clone()
    }

    /// Which actuators take the places of which of the other, that is like this.
    pub(super) fn instead_of<'a>(&'a self, other: &'a Self) -> Vec<(&'a Id<Actuator>, &'a Id<Actuator>)> {
        let both = self.by_likeness.values().zip(other.by_likeness.values());
        both.flat_map(|(ours, theirs)| ours.difference(theirs).zip(theirs.difference(ours))).collect()
    }
}

/// The scenes of some machines in words: directions in which the same is seen on the same machines together, those with
/// dangers first. Machines are named where it is not all of these.
pub(super) fn worded(
    all: &[(Rc<Watched>, Few)],
    place: &Place<'_>,
    rows: &Rows<'_>,
    direction: &dyn Fn(&Operation) -> String,
    named: &dyn Fn(&Few) -> String,
) -> Vec<view::Scene> {
    let everywhere: Few = all.iter().flat_map(|(_, on)| on.iter().copied()).collect();
    let told = gathered(all, &|scene| sentences(place, rows, scene));
    let mut worded: Vec<view::Scene> = Vec::new();
    for (operation, (dangers, others), on) in told {
        let (when, on) = (direction(operation), if on == everywhere { String::new() } else { named(&on) });
        let same = |known: &&mut view::Scene| known.dangers == dangers && known.others == others && known.on == on;
        match worded.iter_mut().find(same) {
            Some(known) => known.when = format!("{}, {when}", known.when),
            None => worded.push(view::Scene { when, on, dangers, others }),
        }
    }
    worded.sort_by_key(|scene| scene.dangers.is_empty());
    worded
}

/// Dangers, and what else is seen.
type Says = (Vec<String>, Vec<String>);

/// What is said of each direction, once for all machines of which it is said.
fn gathered<'a>(all: &'a [(Rc<Watched>, Few)], says: &dyn Fn(&Scene) -> Says) -> Vec<(&'a Operation, Says, Few)> {
    let mut told: Vec<(&Operation, Says, Few)> = Vec::new();
    for (watched, on) in all {
        for scene in &watched.scenes {
            let says = says(scene);
            match told.iter_mut().find(|(operation, known, _)| **operation == scene.operation && *known == says) {
                Some((_, _, known)) => known.extend(on),
                None => told.push((&scene.operation, says, on.clone())),
            }
        }
    }
    let order = in_order(all);
    told.sort_by_key(|(operation, ..)| order.iter().position(|known| known == operation));
    told
}

/// The directions of all machines, each after those that it follows on its own.
fn in_order(all: &[(Rc<Watched>, Few)]) -> Vec<&Operation> {
    let mut order: Vec<&Operation> = Vec::new();
    for (watched, _) in all {
        let mut next = 0;
        for scene in &watched.scenes {
            match order.iter().position(|known| **known == scene.operation) {
                Some(known) => next = known + 1,
                None => {
                    order.insert(next.min(order.len()), &scene.operation);
                    next += 1;
                }
            }
        }
    }
    order
}

fn scene(machine: &MachineHydraulics, difference: &Difference) -> Option<Scene> {
    let mut sights = difference.sights.clone();
    let of_all =
        [Seen::PressureAtReservoir, Seen::NothingLimits, Seen::HandPumpDead, Seen::NothingMoves, Seen::FluidAstray];
    let shown = of_all.into_iter().filter(|seen| difference.seen.contains(seen));
    let mut whole: Vec<Overall> = shown.map(Overall::Shows).collect();
    let plain = machine.operation(&difference.operation)?;
    let moved = plain.actuators.values().filter(|one| one.moves().is_some()).count();
    let stopped = |sights: &BTreeMap<Id<Actuator>, Sight>| {
        sights.values().filter(|sight| matches!(sight, Sight::Stuck | Sight::Weak | Sight::Still)).count()
    };
    if moved > 0 && stopped(&sights) == moved {
        if !whole.iter().any(|seen| matches!(seen, Overall::Shows(Seen::HandPumpDead | Seen::NothingMoves))) {
            whole.push(Overall::NothingThatShould);
        }
        sights.retain(|_, sight| !matches!(sight, Sight::Stuck | Sight::Weak | Sight::Still));
    }
    (!whole.is_empty() || !sights.is_empty()).then(|| Scene { operation: difference.operation.clone(), whole, sights })
}

fn sentences(place: &Place<'_>, rows: &Rows<'_>, scene: &Scene) -> Says {
    let (mut dangers, mut others) = (Vec::new(), Vec::new());
    for overall in &scene.whole {
        let (is_danger, word) = match overall {
            Overall::Shows(Seen::PressureAtReservoir) => (true, "sight_pressure_at_reservoir"),
            Overall::Shows(Seen::NothingLimits) => (true, "sight_nothing_limits"),
            Overall::Shows(Seen::HandPumpDead) => (false, "sight_hand_pump_dead"),
            Overall::Shows(Seen::NothingMoves) => (false, "sight_nothing_moves"),
            Overall::Shows(Seen::FluidAstray) => (false, "sight_fluid_astray"),
            Overall::Shows(_) => continue,
            Overall::NothingThatShould => (false, "sight_nothing_that_should"),
        };
        if is_danger { dangers.push(place.word(word)) } else { others.push(place.word(word)) }
    }
    let mut groups: BTreeMap<Sight, Vec<String>> = BTreeMap::new();
    for (actuator, sight) in &scene.sights {
        groups.entry(*sight).or_default().push(said(place, rows, actuator, motion(*sight)));
    }
    for (sight, said) in groups {
        let sentence = place.said(sight_word(sight), &[("who", said.join("; "))]);
        if is_danger(sight) { dangers.push(sentence) } else { others.push(sentence) }
    }
    (dangers, others)
}

/// An actuator by its name, or what it looks like when it moves, as the writer says it.
fn said(place: &Place<'_>, rows: &Rows<'_>, id: &Id<Actuator>, motion: Option<Motion>) -> String {
    let Some(actuator) = rows.actuator(id.as_str()) else { return id.to_string() };
    let name = &actuator.name.value;
    let (says, word) = match motion {
        None => return name.clone(),
        Some(Motion::Extends) => (&actuator.extends_says, "does_extends"),
        Some(Motion::Retracts) => (&actuator.retracts_says, "does_retracts"),
    };
    says.as_ref().map_or_else(|| format!("{name} {}", place.word(word)), |says| says.value.clone())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::reason::hydraulics::Way;

    fn run(pump: &str) -> Operation {
        Operation::Run { pump: Id::new(pump), way: Way::Forward }
    }

    fn watched(scenes: &[(Operation, Seen)]) -> Rc<Watched> {
        let scene = |(operation, seen): &(Operation, Seen)| Scene {
            operation: operation.clone(),
            whole: vec![Overall::Shows(*seen)],
            sights: BTreeMap::new(),
        };
        let scenes = scenes.iter().map(scene).collect();
        Rc::new(Watched { scenes, ..Watched::default() })
    }

    #[test]
    fn what_machines_share_is_said_once_and_the_rest_of_those_it_holds_for() {
        let one = watched(&[(run("z"), Seen::NothingMoves), (run("a"), Seen::NothingLimits)]);
        let other =
            watched(&[(run("z"), Seen::NothingMoves), (run("h"), Seen::HandPumpDead), (run("a"), Seen::FluidAstray)]);
        let all = [(one, Few::from([0])), (other, Few::from([1, 2]))];
        let says = |scene: &Scene| (vec![format!("{:?}", scene.whole)], Vec::new());
        let told = gathered(&all, &says);
        let told: Vec<(String, Vec<usize>)> = told
            .into_iter()
            .map(|(operation, (dangers, _), on)| (format!("{operation:?} {dangers:?}"), on.into_iter().collect()))
            .collect();
        let has = |at: usize, pump: &str, seen: &str, on: &[usize]| {
            let (says, machines) = &told[at];
            assert!(says.contains(&format!("\"{pump}\"")) && says.contains(seen) && machines == on, "{at}: {told:?}");
        };
        assert_eq!(told.len(), 4);
        has(0, "z", "NothingMoves", &[0, 1, 2]);
        has(1, "h", "HandPumpDead", &[1, 2]);
        has(2, "a", "NothingLimits", &[0]);
        has(3, "a", "FluidAstray", &[1, 2]);
    }
}
