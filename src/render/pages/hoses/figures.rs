//! The circuit drawn for each direction of each pump, and the same facts as a table.

use crate::model::quantity::{Exact, Quantity, plain};
use crate::model::{Circuit, Head, Id, Kind, PartKind, PassageKind};
use crate::reason::hydraulics::{ActuatorDoes, ActuatorFacts, Operation, OperationFacts, Way};
use crate::reason::{Machine, machines_of};
use crate::render::drawings::circuit::{Drawing, Stands, Words};
use crate::render::markdown::escaped;
use crate::render::place::Place;
use crate::render::views::hoses as view;
use crate::render::views::pieces::Figure;

/// A circuit with every direction of its pumps, on every machine it is for.
pub(super) struct Figures<'g> {
    place: Place<'g>,
    circuit: &'g Circuit,
    machines: Vec<Machine>,
}

impl<'g> Figures<'g> {
    pub(super) fn of(place: Place<'g>, circuit: &'g Circuit) -> Self {
        let head: &Head = &circuit.head;
        Self { place, circuit, machines: machines_of(place.guide, head) }
    }

    /// Every direction of every pump of the circuit, with what it is called.
    pub(super) fn directions(&self) -> Vec<(Operation, String)> {
        let mut all = Vec::new();
        for pump in &self.circuit.pumps {
            let part = self.place.part(&pump.part).text;
            let forward = (Way::Forward, pump.forward_says.as_ref());
            let reverse = pump.reverse.as_ref().map(|_| (Way::Reverse, pump.reverse_says.as_ref()));
            for (way, says) in std::iter::once(forward).chain(reverse) {
                let fallback = if way == Way::Forward { "pump_forward" } else { "pump_reverse" };
                let says = says.map_or_else(|| self.place.word(fallback), |says| says.value.clone());
                all.push((Operation::Run { pump: Id::new(pump.id.value.as_str()), way }, format!("{says} ({part})")));
            }
        }
        all
    }

    fn facts(&self, machine: &Machine, operation: &Operation) -> Option<&'g OperationFacts> {
        self.place.facts.hydraulics.on(machine)?.operation(operation)
    }

    /// The drawing, one figure a direction; drawn from the first machine the circuit is for.
    pub(super) fn drawing(&self) -> Option<view::Drawing> {
        let drawing = Drawing::of(self.circuit)?;
        let machine = self.machines.first()?;
        let place = self.place;
        let part = |id: &str| place.link(Kind::Part, id).text;
        let kind = |id: &str| place.guide.parts.find(id).map(|part| part.kind.value);
        let does = |does: ActuatorDoes| place.word(does_word(does));
        let letters = ["letter_pressure", "letter_return", "letter_shut"].map(|key| place.word(key));
        let words = Words { part: &part, kind: &kind as &dyn Fn(&str) -> Option<PartKind>, does: &does, letters };
        let figure = |(at, (operation, name)): (usize, &(Operation, String))| {
            let facts = self.facts(machine, operation)?;
            let says = self.says(&drawing, facts);
            let title = format!("{name}. {says} {}", self.motions_in_words(facts));
            let svg_html = drawing.figure(&format!("direction-{at}"), &title, facts, &words);
            Some(view::Direction { name: name.clone(), figure: Figure { svg_html, caption_html: escaped(&says) } })
        };
        let directions = self.directions();
        let figures = directions.iter().enumerate().filter_map(figure).collect();
        Some(view::Drawing { base_html: drawing.base(&words), key_says: place.word("circuit_key"), figures })
    }

    /// What stands in the hoses, in words.
    fn says(&self, drawing: &Drawing<'_>, facts: &OperationFacts) -> String {
        let states =
            [(Stands::Pressure, "stands_pressure"), (Stands::Return, "stands_return"), (Stands::ShutIn, "stands_shut")];
        let part = |(state, word): (Stands, &'static str)| {
            let hoses = drawing.hoses_that(facts, state);
            (!hoses.is_empty()).then(|| format!("{}: {}.", self.place.word(word), hoses.join(", ")))
        };
        states.into_iter().filter_map(part).collect::<Vec<_>>().join(" ")
    }

    fn motions_in_words(&self, facts: &OperationFacts) -> String {
        let one = |actuator: &crate::model::Actuator| {
            let known = facts.actuators.get(actuator.id.value.as_str())?;
            Some(format!("{}: {}.", actuator.name.value, self.place.word(does_word(known.does))))
        };
        self.circuit.actuators.iter().filter_map(one).collect::<Vec<_>>().join(" ")
    }

    /// What every actuator does in every direction.
    pub(super) fn motions(&self) -> Vec<view::Motion> {
        let mut rows = Vec::new();
        for (operation, direction) in self.directions() {
            for actuator in &self.circuit.actuators {
                let texts: Vec<String> = self
                    .machines
                    .iter()
                    .filter_map(|machine| {
                        let facts = self.facts(machine, &operation)?.actuators.get(actuator.id.value.as_str())?;
                        Some(self.motion(actuator, facts))
                    })
                    .collect();
                let Some(first) = texts.first() else { continue };
                let does = if texts.iter().all(|text| text == first) { first.clone() } else { self.by_machine(&texts) };
                rows.push(view::Motion {
                    direction: direction.clone(),
                    actuator: self.place.part(&actuator.part),
                    does,
                });
            }
        }
        rows
    }

    fn by_machine(&self, texts: &[String]) -> String {
        let name = |machine: &Machine| {
            let variant = machine.as_ref().and_then(|variant| self.place.guide.variants.get(variant));
            variant.map_or(String::new(), |variant| variant.name.value.clone())
        };
        self.machines
            .iter()
            .zip(texts)
            .map(|(machine, text)| format!("{}: {text}", name(machine)))
            .collect::<Vec<_>>()
            .join("; ")
    }

    fn motion(&self, actuator: &crate::model::Actuator, facts: &ActuatorFacts) -> String {
        let mut parts = vec![self.place.word(does_word(facts.does))];
        let says = match facts.does {
            ActuatorDoes::Extends | ActuatorDoes::Regenerates => actuator.extends_says.as_ref(),
            ActuatorDoes::Retracts => actuator.retracts_says.as_ref(),
            _ => None,
        };
        parts.extend(says.map(|says| says.value.clone()));
        let million = Exact::from_integer(1000);
        parts.extend(
            facts
                .stroke_time
                .and_then(|time| amount(time, "s", 0))
                .map(|time| self.place.said("whole_stroke", &[("time", time.written())])),
        );
        let force =
            facts.force.and_then(|force| amount(force / million, "kN", 1)).map(|force| self.place.shown(&force));
        parts.extend(force.map(|force| {
            let second = force.second.map(|second| format!(" ({second})")).unwrap_or_default();
            self.place.said("at_most_force", &[("force", format!("{}{second}", force.first))])
        }));
        parts.join(", ")
    }
}

/// A value in a unit, as a quantity of so many places.
pub(super) fn amount(value: Exact, unit: &str, places: u8) -> Option<Quantity> {
    Quantity::parse(&format!("{} {unit}", plain(value, places))).ok()
}

pub(super) fn does_word(does: ActuatorDoes) -> &'static str {
    match does {
        ActuatorDoes::Extends => "does_extends",
        ActuatorDoes::Retracts => "does_retracts",
        ActuatorDoes::Regenerates => "does_regenerates",
        ActuatorDoes::Stalls => "does_stalls",
        ActuatorDoes::Locked => "does_locked",
        ActuatorDoes::Floats => "does_floats",
        ActuatorDoes::Rests => "does_rests",
    }
}

/// The word for a kind of passage.
pub(super) fn passage_word(kind: PassageKind) -> &'static str {
    match kind {
        PassageKind::Open => "passage_open",
        PassageKind::Check => "passage_check",
        PassageKind::PilotCheck => "passage_pilot_check",
        PassageKind::Relief => "passage_relief",
        PassageKind::Restrictor => "passage_restrictor",
        PassageKind::HandValve => "passage_hand_valve",
    }
}
