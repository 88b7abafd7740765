//! Faults whose causes are crossed hoses: their checks come from what the machine does then.
//!
//! Every word of a check is the writer's: the question and the answers of the table `[[crossings]]`, the names of the
//! directions, and what an actuator looks like when it moves.

use std::collections::{BTreeMap, BTreeSet};

use super::ends::{Fitted, ends};
use super::exchanged;
use crate::model::{Actuator, Answer, Cause, Check, CrossingChecks, Fault, Guide, Id, Link, Motion, Pump, Rods};
use crate::reason::hydraulics::net::Net;
use crate::reason::hydraulics::{Operation, OperationFacts, Way, operate};
use crate::reason::{Machine, machines_of};
use crate::text::Located;

/// Gives every fault with crossings the checks that come from them.
pub(in crate::reason) fn expand(guide: &mut Guide) {
    let with: Vec<&Fault> = guide.faults.iter().filter(|fault| !fault.crossings.is_empty()).collect();
    let added: Vec<(Id<Fault>, Vec<Check>)> =
        with.into_iter().map(|fault| (Id::new(fault.head.id.value.as_str()), checks(guide, fault))).collect();
    for (id, checks) in added {
        if let Some(fault) = guide.faults.get_mut(&id) {
            fault.checks.splice(0..0, checks);
        }
    }
}

/// The checks of all tables of one fault, in the order of the tables and of the directions.
fn checks(guide: &Guide, fault: &Fault) -> Vec<Check> {
    let machines: Vec<Watched<'_>> = machines_of(guide, &fault.head)
        .into_iter()
        .map(|machine| Watched::of(guide, fault, Net::of(guide, &machine)))
        .collect();
    let of_table = |table| {
        let directions = directions(guide, table);
        directions
            .into_iter()
            .filter_map(|(pump, way)| check(guide, fault, table, &machines, pump, way))
            .collect::<Vec<_>>()
    };
    fault.crossings.iter().flat_map(of_table).collect()
}

/// The directions a table asks for.
fn directions<'g>(guide: &'g Guide, table: &CrossingChecks) -> Vec<(&'g Pump, Way)> {
    let pumps = guide.circuits.iter().flat_map(|circuit| &circuit.pumps);
    let named: Vec<&Pump> = pumps.filter(|pump| table.pumps.iter().any(|one| one.as_str() == pump.id.value)).collect();
    let ways = |pump: &'g Pump| {
        let reverse = pump.reverse.as_ref().map(|_| (pump, Way::Reverse));
        std::iter::once((pump, Way::Forward)).chain(reverse)
    };
    named.into_iter().flat_map(ways).collect()
}

/// One machine, sound and with each cause of the fault that is a crossing.
struct Watched<'g> {
    plain: Net,
    crossed: Vec<(&'g Cause, Net)>,
}

impl<'g> Watched<'g> {
    fn of(guide: &Guide, fault: &'g Fault, plain: Net) -> Self {
        let ends = ends(guide, &plain);
        let crossed = fault.causes.iter().filter_map(|cause| {
            let (one, other) = crossed_ends(&ends, cause)?;
            Some((cause, exchanged(&plain, one, other)))
        });
        Self { crossed: crossed.collect(), plain }
    }
}

/// The two ends a cause crosses: those on one part before those that are only near each other.
fn crossed_ends<'e>(ends: &'e [Fitted], cause: &Cause) -> Option<(&'e Fitted, &'e Fitted)> {
    let [one, other] = cause.crossing.as_slice() else { return None };
    let of = |hose: &str| ends.iter().filter(move |end| end.end.hose.as_str() == hose).collect::<Vec<_>>();
    let (these, those) = (of(one.as_str()), of(other.as_str()));
    let pairs = these.iter().flat_map(|one| those.iter().map(move |other| (*one, *other)));
    let fitting: Vec<(&Fitted, &Fitted)> = pairs.filter(|(one, other)| one.can_change_with(other)).collect();
    fitting.iter().find(|(one, other)| one.part == other.part).or_else(|| fitting.first()).copied()
}

/// The answers of one check while they are gathered.
#[derive(Default)]
struct Gathered {
    /// What is seen, in the order in which it came up, with the causes it leaves.
    seen: Vec<(String, BTreeSet<String>)>,
    sound: BTreeSet<String>,
}

impl Gathered {
    fn leave(&mut self, says: &str, cause: Option<&str>) {
        let at = self.seen.iter().position(|(known, _)| known == says);
        let at = at.unwrap_or_else(|| {
            self.seen.push((says.to_owned(), BTreeSet::new()));
            self.seen.len() - 1
        });
        if let (Some((_, causes)), Some(cause)) = (self.seen.get_mut(at), cause) {
            causes.insert(cause.to_owned());
        }
    }
}

/// The check of one direction; `None` where every cause would give the same answer.
fn check(
    guide: &Guide,
    fault: &Fault,
    table: &CrossingChecks,
    machines: &[Watched<'_>],
    pump: &Pump,
    way: Way,
) -> Option<Check> {
    let operation = Operation::Run { pump: Id::new(pump.id.value.as_str()), way };
    let mut gathered = Gathered::default();
    for machine in machines {
        let plain = operate::operate(&machine.plain, &operation);
        let sound = says(guide, table, &plain, &plain);
        gathered.leave(&sound, None);
        gathered.sound.insert(sound);
        for (cause, net) in &machine.crossed {
            let crossed = operate::operate(net, &operation);
            gathered.leave(&says(guide, table, &plain, &crossed), Some(&cause.id.value));
        }
    }
    let solved: BTreeSet<&str> =
        machines.iter().flat_map(|machine| &machine.crossed).map(|(cause, _)| cause.id.value.as_str()).collect();
    take_others(fault, table, pump, &solved, &mut gathered);
    if gathered.seen.iter().filter(|(_, causes)| !causes.is_empty()).count() < 2 {
        return None;
    }
    Some(worded(fault, table, pump, way, gathered))
}

/// Causes that are no crossings that could be solved: left where the writer says so, else by every answer.
fn take_others(fault: &Fault, table: &CrossingChecks, pump: &Pump, solved: &BTreeSet<&str>, gathered: &mut Gathered) {
    let said =
        table.answers.iter().filter(|answer| answer.pump.as_ref().is_none_or(|only| only.as_str() == pump.id.value));
    let mut named = BTreeSet::new();
    for answer in said {
        let sound = gathered.sound.iter().cloned().collect();
        let says: Vec<String> = answer.says.as_ref().map_or(sound, |says| vec![says.value.clone()]);
        for cause in &answer.leaves {
            for says in &says {
                gathered.leave(says, Some(cause.as_str()));
            }
            named.insert(cause.as_str());
        }
    }
    let known = |cause: &&Cause| solved.contains(cause.id.value.as_str()) || named.contains(cause.id.value.as_str());
    let others = fault.causes.iter().filter(|cause| !known(cause));
    for cause in others {
        for (_, causes) in &mut gathered.seen {
            causes.insert(cause.id.value.clone());
        }
    }
}

/// True where two hoses have ends that can change places on a machine.
pub fn can_be_crossed(guide: &Guide, machine: &Machine, cause: &Cause) -> bool {
    crossed_ends(&ends(guide, &Net::of(guide, machine)), cause).is_some()
}

/// What somebody sees who stands beside the machine with all rods in, or all out.
fn says(guide: &Guide, table: &CrossingChecks, plain: &OperationFacts, now: &OperationFacts) -> String {
    let rods = table.rods.as_ref().map_or(Rods::In, |rods| rods.value);
    let (before, after) = (moving(plain, rods), moving(now, rods));
    if after.is_empty() {
        return table.nothing.value.clone();
    }
    if before == after {
        return table.as_it_should.value.clone();
    }
    let moves: Vec<String> = after.iter().map(|(id, way)| phrase(guide, id, *way)).collect();
    let only = table.only.as_ref().map_or("{moves}", |only| only.value.as_str());
    only.replace("{moves}", &moves.join("; "))
}

/// The actuators that leave their stop.
fn moving(facts: &OperationFacts, rods: Rods) -> BTreeMap<Id<Actuator>, Motion> {
    let free = if rods == Rods::In { Motion::Extends } else { Motion::Retracts };
    let all = facts.actuators.iter().filter_map(|(id, one)| Some((id.clone(), one.moves()?)));
    all.filter(|(_, way)| *way == free).collect()
}

/// What an actuator looks like when it moves, in the writer's words.
fn phrase(guide: &Guide, id: &Id<Actuator>, way: Motion) -> String {
    let all = guide.circuits.iter().flat_map(|circuit| &circuit.actuators);
    let Some(actuator) = all.into_iter().find(|one| one.id.value == id.as_str()) else { return id.to_string() };
    let said = if way == Motion::Extends { &actuator.extends_says } else { &actuator.retracts_says };
    said.as_ref().unwrap_or(&actuator.name).value.clone()
}

fn worded(fault: &Fault, table: &CrossingChecks, pump: &Pump, way: Way, gathered: Gathered) -> Check {
    let (said, word) = match way {
        Way::Forward => (&pump.forward_says, "forward"),
        Way::Reverse => (&pump.reverse_says, "reverse"),
    };
    let direction = said.as_ref().map_or(word, |said| said.value.as_str());
    let at = |text: String| Located::new(text, table.ask.span);
    let link = |cause: &str| -> Option<Link<Cause>> {
        let known = fault.causes.iter().find(|known| known.id.value == cause)?;
        Some(Located::new(Id::new(cause), known.id.span))
    };
    let Gathered { seen, sound } = gathered;
    let answers = seen.into_iter().filter(|(_, causes)| !causes.is_empty()).map(|(says, causes)| Answer {
        sound: sound.contains(&says),
        says: at(says),
        bands: Vec::new(),
        leaves: causes.iter().filter_map(|cause| link(cause)).collect(),
        go_to: None,
        span: table.span,
    });
    Check {
        id: at(format!("{}-{word}", pump.id.value)),
        ask: at(table.ask.value.replace("{direction}", direction)),
        how: table.how.clone(),
        seconds: table.seconds,
        access: table.access.clone(),
        state: table.state.clone(),
        make_safe: table.make_safe.clone(),
        after: Vec::new(),
        first: false,
        tools: table.tools.clone(),
        cautions: table.cautions.clone(),
        touches: table.touches.clone(),
        reading: None,
        test_point: None,
        tries: None,
        error_rates: None,
        answers: answers.collect(),
        span: table.span,
    }
}
