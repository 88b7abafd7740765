//! The circuit drawn for each direction of each pump, and the same facts as a table.

use super::on_machines::OnMachines;
use crate::model::quantity::{Exact, Quantity, plain};
use crate::model::{Circuit, Id, Kind, PartKind, PassageKind};
use crate::reason::hydraulics::{ActuatorDoes, ActuatorFacts, MachineHydraulics, Operation, OperationFacts, Way};
use crate::render::drawings::circuit::{Drawing, Stands, Words};
use crate::render::markdown::escaped;
use crate::render::place::Place;
use crate::render::views::hoses as view;
use crate::render::views::pieces::Figure;

/// A circuit with every direction of its pumps, on every machine it is for.
pub(super) struct Figures<'g> {
    place: Place<'g>,
    circuit: &'g Circuit,
}

impl<'g> Figures<'g> {
    pub(super) fn of(place: Place<'g>, circuit: &'g Circuit) -> Self {
        Self { place, circuit }
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

    /// The drawing, one figure a direction; several where machines differ in it.
    pub(super) fn drawing(&self) -> Option<view::Drawing> {
        let drawing = Drawing::of(self.circuit)?;
        let place = self.place;
        let part = |id: &str| place.link(Kind::Part, id).text;
        let kind = |id: &str| place.guide.parts.find(id).map(|part| part.kind.value);
        let does = |does: ActuatorDoes| place.word(does_word(does));
        let letters = ["letter_pressure", "letter_return", "letter_shut"].map(|key| place.word(key));
        let words = Words { part: &part, kind: &kind as &dyn Fn(&str) -> Option<PartKind>, does: &does, letters };
        let on = OnMachines::of(place, self.circuit);
        let of_direction = |(at, (operation, name)): (usize, (Operation, String))| {
            let figure = |machine: &'g MachineHydraulics| {
                let figure = |facts| self.figure(&drawing, &words, facts, &format!("direction-{at}"), &name);
                machine.operation(&operation).map(figure).into_iter().collect()
            };
            let several = on.gathered(figure).into_iter().enumerate();
            let several = several.map(|(nth, ((svg, says), on))| {
                // An id stands once on a page.
                let own = |svg: String| svg.replace(&format!("direction-{at}"), &format!("direction-{at}-{nth}"));
                let svg_html = if nth == 0 { svg } else { own(svg) };
                view::Direction { name: name.clone(), on, figure: Figure { svg_html, caption_html: escaped(&says) } }
            });
            several.collect::<Vec<_>>()
        };
        let figures = self.directions().into_iter().enumerate().flat_map(of_direction).collect();
        Some(view::Drawing { base_html: drawing.base(&words), key_says: place.word("circuit_key"), figures })
    }

    fn figure(
        &self,
        drawing: &Drawing<'_>,
        words: &Words<'_>,
        facts: &OperationFacts,
        id: &str,
        name: &str,
    ) -> (String, String) {
        let says = self.says(drawing, facts);
        let title = format!("{name}. {says} {}", self.motions_in_words(facts));
        (drawing.figure(id, &title, facts, words), says)
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
        let on = OnMachines::of(self.place, self.circuit);
        let mut rows = Vec::new();
        for (operation, direction) in self.directions() {
            for actuator in &self.circuit.actuators {
                let said = on.gathered(|machine| {
                    let known = |facts: &OperationFacts| facts.actuators.get(actuator.id.value.as_str()).cloned();
                    let facts = machine.operation(&operation).and_then(known);
                    facts.iter().map(|facts| self.motion(actuator, facts)).collect()
                });
                let labelled =
                    |(does, on): (String, String)| if on.is_empty() { does } else { format!("{on}: {does}") };
                let does: Vec<String> = said.into_iter().map(labelled).collect();
                if !does.is_empty() {
                    let (direction, actuator) = (direction.clone(), self.place.part(&actuator.part));
                    rows.push(view::Motion { direction, actuator, does: does.join("; ") });
                }
            }
        }
        rows
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
