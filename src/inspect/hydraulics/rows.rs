//! Rows of hose tables by id, and whether a table is whole enough to be solved.

use crate::inspect::Subject;
use crate::model::{Actuator, Circuit, Hose, Link, Passage, PassageKind, Port, Pump, Side};
use crate::reason::hydraulics::{MachineHydraulics, Operation, Slip, Way};
use crate::reason::{End, HoseEnd, Machine};
use crate::text::Span;

/// Every circuit of the guide, looked up by the ids of its rows.
#[derive(Clone, Copy)]
pub(super) struct Rows<'s> {
    subject: &'s Subject<'s>,
}

impl<'s> Rows<'s> {
    pub(super) fn of(subject: &'s Subject<'s>) -> Self {
        Self { subject }
    }

    fn circuits(self) -> impl Iterator<Item = &'s Circuit> {
        self.subject.guide.circuits.iter()
    }

    pub(super) fn actuator(self, id: &str) -> Option<&'s Actuator> {
        self.circuits().flat_map(|circuit| &circuit.actuators).find(|one| one.id.value == id)
    }

    pub(super) fn passage(self, id: &str) -> Option<&'s Passage> {
        self.circuits().flat_map(|circuit| &circuit.passages).find(|one| one.id.value == id)
    }

    pub(super) fn pump(self, id: &str) -> Option<&'s Pump> {
        self.circuits().flat_map(|circuit| &circuit.pumps).find(|one| one.id.value == id)
    }

    fn hose(self, id: &str) -> Option<&'s Hose> {
        self.circuits().flat_map(|circuit| &circuit.hoses).find(|one| one.id.value == id)
    }

    fn port(self, id: &str) -> Option<&'s Port> {
        self.circuits().flat_map(|circuit| &circuit.ports).find(|one| one.id.value == id)
    }

    /// Where a hose end names its port.
    pub(super) fn end(self, end: &HoseEnd) -> Option<Span> {
        let hose = self.hose(end.hose.as_str())?;
        let port = if end.end == End::From { &hose.from } else { &hose.to };
        port.as_ref().map(|port| port.span)
    }

    /// True where every row of every circuit names ports that are there, and no port has two hoses or nothing at all:
    /// anything else is for the rules about hoses.
    pub(super) fn can_be_solved(self, machine: &Machine) -> bool {
        let Some(hoses) = self.subject.facts.hoses.machines.iter().find(|one| one.machine == *machine) else {
            return false;
        };
        let crowded = hoses.ends.values().any(|ends| ends.len() > 1);
        let bare = hoses.ports.iter().any(|port| {
            let hose = hoses.ends.get(port).is_some_and(|ends| !ends.is_empty());
            !hose && !hoses.passages.contains_key(port)
        });
        !crowded && !bare && self.circuits().all(|circuit| self.is_whole(circuit))
    }

    fn is_whole(self, circuit: &Circuit) -> bool {
        let known = |port: &Link<Port>| self.port(port.as_str()).is_some();
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

    /// A hose from a cap side to a rod side, as `sides-disagree` reports it.
    fn sides_disagree(self, hose: &Hose) -> bool {
        let side = |end: &Option<Link<Port>>| {
            let port = self.port(end.as_ref()?.as_str())?;
            port.side.as_ref().map(|side| side.value).filter(|side| matches!(side, Side::Cap | Side::Rod))
        };
        side(&hose.from).zip(side(&hose.to)).is_some_and(|(one, other)| one != other)
    }

    /// What a direction is called: by the operator, else by its key.
    pub(super) fn direction(self, operation: &Operation) -> String {
        let Operation::Run { pump, way } = operation else { return String::new() };
        let row = self.pump(pump.as_str());
        let (said, key) = match way {
            Way::Forward => (row.and_then(|row| row.forward_says.as_ref()), "forward"),
            Way::Reverse => (row.and_then(|row| row.reverse_says.as_ref()), "reverse"),
        };
        said.map_or_else(|| format!("`{key}` of `{pump}`"), |said| format!("\"{}\"", said.value))
    }

    /// The place of a slip, and what to write there.
    pub(super) fn slip(self, slip: &Slip) -> Option<(Span, String)> {
        match slip {
            Slip::Setting(id) => {
                let row = self.passage(id.as_str())?;
                let place = row.opens_at.first().map_or(row.id.span, |value| value.value.span);
                Some((place, format!("Correct the pressure at which `{id}` opens, or the load of the actuator.")))
            }
            Slip::Kind { passage, pilot } => {
                let row = self.passage(passage.as_str())?;
                let remedy =
                    format!("Make `{passage}` a pilot check: `kind = \"pilot-check\"`, `pilot = \"{pilot}\"`.");
                Some((row.kind.span, remedy))
            }
            Slip::Turned(id) => {
                let row = self.passage(id.as_str())?;
                Some((row.from.span, format!("Turn the passage `{id}` round: exchange its `from` and `to`.")))
            }
            Slip::Pilot { passage, right } => {
                let row = self.passage(passage.as_str())?;
                let place = row.pilot.as_ref().map_or(row.id.span, |pilot| pilot.span);
                Some((place, format!("Take the pilot of `{passage}` from `{right}`.")))
            }
            Slip::End { passage, from, right } => {
                let row = self.passage(passage.as_str())?;
                let (place, key) = if *from { (row.from.span, "from") } else { (row.to.span, "to") };
                Some((place, format!("Write `{key} = \"{right}\"` for the passage `{passage}`.")))
            }
            Slip::Chambers(id) => {
                let row = self.actuator(id.as_str())?;
                Some((row.cap.span, format!("Exchange `cap` and `rod` of the actuator `{id}`.")))
            }
            Slip::Directions(id) => {
                let row = self.pump(id.as_str())?;
                let remedy = format!(
                    "Exchange `forward` and `reverse` of the pump `{id}`; or, if they are right, the two hoses at its ports."
                );
                Some((row.forward.span, remedy))
            }
            Slip::Ends([one, other]) => {
                let place = self.end(one)?;
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
    pub(super) fn solved(self) -> impl Iterator<Item = &'s MachineHydraulics> {
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
