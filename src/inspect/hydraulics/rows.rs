//! Rows of hose tables by id, and whether a table is whole enough to be solved.

use crate::inspect::Subject;
use crate::inspect::book::{Book, contradict};
use crate::model::{Circuit, Hose, Link, Passage, PassageKind, Port};
use crate::reason::Machine;
use crate::reason::hydraulics::{MachineHydraulics, Operation, Slip, Way};
use crate::text::Span;

/// The hose tables of a guide with what was worked out from them.
pub(super) struct Rows<'s> {
    subject: &'s Subject<'s>,
    pub(super) book: Book<'s>,
}

impl<'s> Rows<'s> {
    pub(super) fn of(subject: &'s Subject<'s>) -> Self {
        Self { subject, book: Book::of(subject.guide) }
    }

    /// True where every row of every circuit names ports that are there, and no port has two hoses or nothing at all:
    /// anything else is for the rules about hoses.
    pub(super) fn can_be_solved(&self, machine: &Machine) -> bool {
        let Some(hoses) = self.subject.facts.hoses.machines.iter().find(|one| one.machine == *machine) else {
            return false;
        };
        let crowded = hoses.ends.values().any(|ends| ends.len() > 1);
        let bare = hoses.ports.iter().any(|port| {
            let hose = hoses.ends.get(port).is_some_and(|ends| !ends.is_empty());
            !hose && !hoses.passages.contains_key(port)
        });
        !crowded && !bare && self.subject.guide.circuits.iter().all(|circuit| self.is_whole(circuit))
    }

    fn is_whole(&self, circuit: &Circuit) -> bool {
        let known = |port: &Link<Port>| self.book.port(&port.value).is_some();
        let hoses = circuit.hoses.iter().all(|hose| {
            [&hose.from, &hose.to].into_iter().all(|end| end.as_ref().is_some_and(known)) && !self.sides_disagree(hose)
        });
        let pumps = circuit.pumps.iter().all(|pump| known(&pump.forward) && pump.reverse.as_ref().is_none_or(known));
        let actuators = circuit.actuators.iter().all(|one| known(&one.cap) && one.rod.as_ref().is_none_or(known));
        let passages = circuit
            .passages
            .iter()
            .all(|one| known(&one.from) && known(&one.to) && one.pilot.as_ref().is_none_or(known) && can_work(one));
        hoses && pumps && actuators && passages
    }

    /// A hose between two sides that cannot be one line, as `sides-disagree` reports it.
    fn sides_disagree(&self, hose: &Hose) -> bool {
        let side = |end: &Option<Link<Port>>| {
            let port = self.book.port(&end.as_ref()?.value)?;
            port.side.as_ref().map(|side| side.value)
        };
        side(&hose.from).zip(side(&hose.to)).is_some_and(|(one, other)| contradict(one, other))
    }

    /// What a direction is called: by the operator, else by its key.
    pub(super) fn direction(&self, operation: &Operation) -> String {
        let Operation::Run { pump, way } = operation else { return String::new() };
        let row = self.book.pump(pump);
        let (said, key) = match way {
            Way::Forward => (row.and_then(|row| row.forward_says.as_ref()), "forward"),
            Way::Reverse => (row.and_then(|row| row.reverse_says.as_ref()), "reverse"),
        };
        said.map_or_else(|| format!("`{key}` of `{pump}`"), |said| format!("\"{}\"", said.value))
    }

    /// The place of a slip, and what to write there.
    pub(super) fn slip(&self, slip: &Slip) -> Option<(Span, String)> {
        match slip {
            Slip::Setting(id) => {
                let row = self.book.passage(id)?;
                let place = row.opens_at.first().map_or(row.id.span, |value| value.value.span);
                Some((place, format!("Correct the pressure at which `{id}` opens, or the load of the actuator.")))
            }
            Slip::Kind { passage, pilot } => {
                let row = self.book.passage(passage)?;
                let remedy =
                    format!("Make `{passage}` a pilot check: `kind = \"pilot-check\"`, `pilot = \"{pilot}\"`.");
                Some((row.kind.span, remedy))
            }
            Slip::Turned(id) => {
                let row = self.book.passage(id)?;
                Some((row.from.span, format!("Turn the passage `{id}` round: exchange its `from` and `to`.")))
            }
            Slip::Pilot { passage, right } => {
                let row = self.book.passage(passage)?;
                let place = row.pilot.as_ref().map_or(row.id.span, |pilot| pilot.span);
                Some((place, format!("Take the pilot of `{passage}` from `{right}`.")))
            }
            Slip::End { passage, from, right } => {
                let row = self.book.passage(passage)?;
                let (place, key) = if *from { (row.from.span, "from") } else { (row.to.span, "to") };
                Some((place, format!("Write `{key} = \"{right}\"` for the passage `{passage}`.")))
            }
            Slip::Chambers(id) => {
                let row = self.book.actuator(id)?;
                Some((row.cap.span, format!("Exchange `cap` and `rod` of the actuator `{id}`.")))
            }
            Slip::Directions(id) => {
                let row = self.book.pump(id)?;
                let remedy = format!(
                    "Exchange `forward` and `reverse` of the pump `{id}`; or, if they are right, the two hoses at its ports."
                );
                Some((row.forward.span, remedy))
            }
            Slip::Ends([one, other]) => {
                let place = self.book.place(one)?;
                let remedy = format!(
                    "Exchange `{}` of the hose `{}` with `{}` of the hose `{}`.",
                    one.end.key(),
                    one.hose,
                    other.end.key(),
                    other.hose
                );
                Some((place, remedy))
            }
        }
    }

    /// The machines whose tables can be solved, with what was worked out.
    pub(super) fn solved(&self) -> impl Iterator<Item = &'s MachineHydraulics> {
        self.subject.facts.hydraulics.machines.iter().filter(move |facts| self.can_be_solved(&facts.machine))
    }
}

/// True where a valve could be what a row says.
pub(super) fn can_work(passage: &Passage) -> bool {
    let pilot = passage.pilot.as_ref().map(|pilot| pilot.as_str());
    let (from, to) = (passage.from.as_str(), passage.to.as_str());
    let piloted = passage.kind.value == PassageKind::PilotCheck;
    from != to && pilot.is_some() == piloted && pilot != Some(from) && pilot != Some(to)
}
