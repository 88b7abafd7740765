//! A hydraulic circuit as a drawing, with symbols after ISO 1219-1 (from memory).
//!
//! The circuit is drawn once; each direction of each pump is a figure of its own that shows the same drawing over what
//! is under pressure in it. Pressure is told three ways, none of them a colour: a thick edge, a letter, an arrow.

mod base;
mod layout;
pub(in crate::render) mod marks;
mod pieces;
mod symbols;
#[cfg(test)]
mod tests;

use crate::model::{Circuit, Motion, PartKind};
use crate::reason::hydraulics::{ActuatorDoes, OperationFacts, PortState};
use crate::render::drawings::svg::Pen;
use layout::{CYLINDERS, Layout};
use pieces::Line;

/// What the drawing says, in the words of the page.
pub(in crate::render) struct Words<'w> {
    /// The name of a part.
    pub(in crate::render) part: &'w dyn Fn(&str) -> String,
    /// The kind of a part.
    pub(in crate::render) kind: &'w dyn Fn(&str) -> Option<PartKind>,
    /// What an actuator does, in a word or two.
    pub(in crate::render) does: &'w dyn Fn(ActuatorDoes) -> String,
    /// One letter each for pressure, return, shut in.
    pub(in crate::render) letters: [String; 3],
}

/// A circuit laid out, ready to be drawn for each direction.
pub(in crate::render) struct Drawing<'c> {
    circuit: &'c Circuit,
    layout: Layout<'c>,
}

/// What stands in a hose, as the drawing tells it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub(in crate::render) enum Stands {
    Pressure,
    Return,
    ShutIn,
}

impl<'c> Drawing<'c> {
    /// Lays a circuit out; none where there is nothing to draw.
    pub(in crate::render) fn of(circuit: &'c Circuit) -> Option<Self> {
        Some(Self { circuit, layout: Layout::of(circuit)? })
    }

    /// The drawing without any direction, to be used by the figures of this page under the id `circuit`.
    pub(in crate::render) fn base(&self, words: &Words<'_>) -> String {
        let mut pen = Pen::default();
        base::draw(&mut pen, self.circuit, &self.layout, words);
        let (wide, high) = (self.layout.wide, self.layout.high);
        format!(
            "<svg class=\"quiet\" width=\"0\" height=\"0\" aria-hidden=\"true\" focusable=\"false\"><symbol id=\"circuit\" viewBox=\"0 0 {wide} {high}\" \
             class=\"drawing-base\">{}</symbol></svg>",
            pen.out()
        )
    }

    /// The figure of one direction.
    pub(in crate::render) fn figure(&self, id: &str, title: &str, facts: &OperationFacts, words: &Words<'_>) -> String {
        let mut pen = Pen::default();
        for line in &self.layout.lines {
            if stands(line, facts) == Some(Stands::Pressure) {
                pen.path("c-pressed", &path(&line.way), Some(21));
            }
        }
        let (wide, high) = (self.layout.wide, self.layout.high);
        pen.raw(&format!("<use href=\"#circuit\" width=\"{wide}\" height=\"{high}\"/>"));
        for line in &self.layout.lines {
            self.letter(&mut pen, line, facts, words);
        }
        for ram in &self.layout.rams {
            let Some(actuator) = self.circuit.actuators.get(ram.actuator) else { continue };
            let Some(facts) = facts.actuators.get(actuator.id.value.as_str()) else { continue };
            let (left, right) = base::barrel(ram);
            pen.text("c-does", left.unsigned_abs(), 66, "start", &[(words.does)(facts.does)]);
            let y = CYLINDERS - 42;
            match facts.does.motion() {
                Some(Motion::Extends) => arrow(&mut pen, right - 26, y, 1),
                Some(Motion::Retracts) => arrow(&mut pen, right, y, -1),
                None => {}
            }
        }
        let (wide, high) = (wide.unsigned_abs(), high.unsigned_abs());
        pen.finish(id, wide, high, title)
    }

    fn letter(&self, pen: &mut Pen, line: &Line<'_>, facts: &OperationFacts, words: &Words<'_>) {
        let Some(stands) = stands(line, facts) else { return };
        let [pressure, back, shut] = &words.letters;
        let letter = match stands {
            Stands::Pressure => pressure,
            Stands::Return => back,
            Stands::ShutIn => shut,
        };
        let (x, y) = (line.label.0 + base::label_half(line) + 9, line.label.1);
        pen.path("c-label", &format!("M{} {}h16v18h-16z", x - 8, y - 9), None);
        pen.text("c-mark", x.unsigned_abs(), (y + 5).unsigned_abs(), "middle", std::slice::from_ref(letter));
    }

    /// The marks of the hoses in one state, in the order of the table.
    pub(in crate::render) fn hoses_that(&self, facts: &OperationFacts, wanted: Stands) -> Vec<String> {
        let lines = self.layout.lines.iter().filter(|line| stands(line, facts) == Some(wanted));
        lines.map(|line| base::marks_of(line)).collect()
    }
}

/// What stands in a line: its two ends are one room.
fn stands(line: &Line<'_>, facts: &OperationFacts) -> Option<Stands> {
    let port = line.hoses.first()?.from.as_ref()?;
    Some(match facts.ports.get(&port.value)? {
        PortState::Pressure => Stands::Pressure,
        PortState::Return => Stands::Return,
        PortState::Squeezed | PortState::Holds | PortState::Shut => Stands::ShutIn,
    })
}

/// A level arrow from a place on, to the right or to the left.
fn arrow(pen: &mut Pen, x: i32, y: i32, way: i32) {
    pen.path("c-line", &format!("M{x} {y}h{}", way * 18), None);
    pen.path("c-fill", &format!("M{} {y}l{} -6v12z", x + way * 26, -way * 10), None);
}

/// A way as path data.
fn path(way: &[(i32, i32)]) -> String {
    let mut data = String::new();
    for (place, (x, y)) in way.iter().enumerate() {
        data.push_str(&format!("{}{x} {y}", if place == 0 { 'M' } else { 'L' }));
    }
    data
}
