//! The plan of a fault as a flow chart, with the symbols of ISO 5807 (from memory): decisions for checks, a process for
//! a repair, a terminator for an end without one, connectors to another page and to a step drawn elsewhere.
//!
//! The chart grows downwards and to the right only, so that no two lines cross and it stays readable on a phone. A
//! line is the thicker, the likelier the answer.

use std::collections::BTreeSet;

use super::svg::{LINE, Pen, wrapped};
use crate::model::Fault;
use crate::reason::fault_plans::percent;
use crate::reason::walk::{To, Walk, WalkStep};

/// Width of the chart, in units that are pixels on a phone.
const WIDE: u32 = 340;
/// How far a branch stands to the right of the check it leaves.
const INDENT: u32 = 16;
/// Room for a symbol with its number.
const SYMBOL: u32 = 32;
/// Room that a text has at least: a plan of many checks makes the chart wider.
const NARROW: u32 = 84;
/// Steps that a chart may have: it is drawn as deep as they lead into each other.
const MOST_STEPS: usize = 200;
/// The thickest line.
const THICK: u32 = 9;

/// What the chart needs to say, in the words of the page.
pub(in crate::render) struct Words<'w> {
    pub(in crate::render) title: String,
    /// Says where an ending leads, by its place in the walk.
    pub(in crate::render) ending: &'w dyn Fn(usize) -> String,
    /// Says where another fault is, by check and answer.
    pub(in crate::render) other_fault: &'w dyn Fn(usize, usize) -> (String, String),
    pub(in crate::render) ask: String,
}

/// Draws the plan of a fault; none where there is nothing to draw, or too much for anyone to follow.
pub(in crate::render) fn chart(fault: &Fault, walk: &Walk, words: &Words<'_>) -> Option<String> {
    let start = walk.start?;
    if walk.steps.is_empty() || walk.steps.len() > MOST_STEPS {
        return None;
    }
    let mut chart = Chart { fault, walk, words, pen: Pen::default(), down: 8, wide: WIDE, drawn: BTreeSet::new() };
    chart.lead(start, 4, None);
    let height = chart.down + 8;
    Some(chart.pen.finish("plan-chart", chart.wide, height, &words.title))
}

struct Chart<'c> {
    fault: &'c Fault,
    walk: &'c Walk,
    words: &'c Words<'c>,
    pen: Pen,
    /// Where the next thing is drawn.
    down: u32,
    /// How wide the chart is by now.
    wide: u32,
    drawn: BTreeSet<usize>,
}

impl Chart<'_> {
    /// The room to the right of a place, up to a margin.
    fn room(&mut self, left: u32, margin: u32) -> u32 {
        let room = WIDE.saturating_sub(left + margin).max(NARROW);
        self.wide = self.wide.max(left + room + margin);
        room
    }

    /// Draws where an answer leads; `from` is the check and answer it comes from.
    fn lead(&mut self, to: To, left: u32, from: Option<(usize, usize)>) {
        match to {
            To::Step(step) if self.drawn.insert(step) => self.step(step, left),
            To::Step(step) => self.connector(step, left),
            To::Ending(ending) => {
                let says = (self.words.ending)(ending);
                self.boxed(left, &says, &format!("#found-{}", ending + 1), Symbol::Process);
            }
            To::OtherFault => {
                let (href, says) =
                    from.map(|(check, answer)| (self.words.other_fault)(check, answer)).unwrap_or_default();
                self.boxed(left, &says, &href, Symbol::OffPage);
            }
            To::Nowhere => {
                let says = self.words.ask.clone();
                self.boxed(left, &says, "#escalation", Symbol::Terminator);
            }
        }
    }

    fn step(&mut self, index: usize, left: u32) {
        let Some(step) = self.walk.steps.get(index) else { return };
        let ask = self.fault.checks.get(step.check).map_or("", |check| check.ask.value.as_str());
        let lines = wrapped(ask, self.room(left + SYMBOL, 12));
        let top = self.down;
        self.pen.open_link(&format!("#step-{}", index + 1));
        let middle = top + SYMBOL / 2;
        let (right, half) = (left + SYMBOL, SYMBOL / 2);
        self.pen.path("line", &format!("M{left} {middle}l{half} -{half} {half} {half} -{half} {half}z"), None);
        self.pen.text("chart-number", left + half, middle + 5, "middle", &[(index + 1).to_string()]);
        let first = middle + 5 - (LINE / 2) * (height_of(&lines).saturating_sub(LINE) / LINE).min(1);
        self.pen.text("chart-ask", right + 8, first, "start", &lines);
        self.pen.close_link();
        self.down = (top + SYMBOL).max(first + height_of(&lines)) + 4;
        self.answers(step, left, top + SYMBOL);
    }

    fn answers(&mut self, step: &WalkStep, left: u32, below_symbol: u32) {
        let Some(check) = self.fault.checks.get(step.check) else { return };
        let trunk = left + SYMBOL / 2;
        let mut from = below_symbol;
        for (answer, (says, to)) in check.answers.iter().zip(&step.answers).enumerate() {
            let weight = step.answer_weights.get(answer).copied().unwrap_or(0);
            let percent = percent(weight, step.weight);
            let lines = wrapped(&format!("{} ({percent}\u{a0}%)", says.says.value), self.room(trunk + INDENT, 8));
            let at = self.down + LINE;
            let thick = 1 + percent * (THICK - 1) / 100;
            self.pen.path("branch", &format!("M{trunk} {from}V{}H{}", at - 4, trunk + INDENT - 4), Some(thick));
            self.pen.text("", trunk + INDENT, at, "start", &lines);
            from = at - 4;
            self.down = at + height_of(&lines) - LINE + 8;
            self.lead(*to, trunk + INDENT, Some((step.check, answer)));
        }
    }

    /// A step that is drawn elsewhere: its number in a circle.
    fn connector(&mut self, step: usize, left: u32) {
        let (top, radius) = (self.down, SYMBOL / 2 - 2);
        let (x, y) = (left + radius, top + radius);
        self.pen.open_link(&format!("#step-{}", step + 1));
        self.pen.path(
            "line",
            &format!("M{left} {y}a{radius} {radius} 0 1 0 {0} 0a{radius} {radius} 0 1 0 -{0} 0z", radius * 2),
            None,
        );
        self.pen.text("chart-number", x, y + 5, "middle", &[(step + 1).to_string()]);
        self.pen.close_link();
        self.down = top + radius * 2 + 8;
    }

    fn boxed(&mut self, left: u32, says: &str, href: &str, symbol: Symbol) {
        let wide = self.room(left, 4);
        let lines = wrapped(says, wide - 20);
        let high = height_of(&lines) + 12;
        let top = self.down;
        self.pen.open_link(href);
        self.pen.path("line", &symbol.outline(left, top, wide, high), None);
        self.pen.text("", left + 10, top + LINE + 2, "start", &lines);
        self.pen.close_link();
        self.down = top + high + symbol.tail() + 8;
    }
}

/// The symbols for ends.
#[derive(Clone, Copy)]
enum Symbol {
    Process,
    Terminator,
    OffPage,
}

impl Symbol {
    fn outline(self, x: u32, y: u32, wide: u32, high: u32) -> String {
        match self {
            Self::Process => format!("M{x} {y}h{wide}v{high}h-{wide}z"),
            Self::Terminator => {
                let round = (high / 2).min(14);
                let (across, up) = (wide - 2 * round, high - 2 * round);
                format!(
                    "M{} {y}h{across}a{round} {round} 0 0 1 {round} {round}v{up}a{round} {round} 0 0 1 -{round} {round}\
                     h-{across}a{round} {round} 0 0 1 -{round} -{round}v-{up}a{round} {round} 0 0 1 {round} -{round}z",
                    x + round
                )
            }
            Self::OffPage => format!("M{x} {y}h{wide}v{high}l-{half} 8 -{half} -8z", half = wide / 2),
        }
    }

    /// How far the symbol reaches below its text.
    fn tail(self) -> u32 {
        if matches!(self, Self::OffPage) { 8 } else { 0 }
    }
}

fn height_of(lines: &[String]) -> u32 {
    LINE * u32::try_from(lines.len()).unwrap_or(1)
}
