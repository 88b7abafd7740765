//! A hose table: what goes where, what a crossing does, how pump directions move the machine.

use super::pieces::{Caution, Figure, Link, Shown, Source};
use serde::Serialize;

#[derive(Clone, Debug, Default, Serialize)]
pub struct HoseTable {
    pub intro_html: String,
    pub cautions: Vec<Caution>,
    pub drawing: Option<Drawing>,
    pub circuits: Vec<Circuit>,
    pub motions: Vec<Motion>,
    /// The page of what crossed hoses do, and where the circuit stops.
    pub crossed: Option<Link>,
    pub limits: Vec<AirLimit>,
    /// What a pocket at the limit costs, hose by hose.
    pub pockets: Vec<Pocket>,
    pub passages: Vec<Passage>,
    pub procedures: Vec<Link>,
    pub sources: Vec<Source>,
}

/// What crossed hoses do, and where a circuit stops doing its work.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Crossed {
    pub table: Link,
    pub cautions: Vec<Caution>,
    /// Rows by hose.
    pub found: Vec<Found>,
    /// Whether each hose is found with the others it can be crossed with.
    pub by_pair: bool,
    pub kinds: Vec<CrossedKind>,
    /// How many crossings were not worked out, in a sentence; empty where none.
    pub left_out: String,
    /// Crossings that neither a mark nor a colour gives away.
    pub not_told_apart: Vec<String>,
    pub markings: Vec<Marking>,
    pub stalls: Vec<Stall>,
    /// Every suspect once, with the complaints that cover it.
    pub covers: Vec<Suspect>,
}

/// Rows that show the same at worst, the most dangerous first; their numbers run on from kind to kind.
#[derive(Clone, Debug, Default, Serialize)]
pub struct CrossedKind {
    pub seen: String,
    /// The number of the first.
    pub first: u32,
    pub rows: Vec<Crossing>,
}

/// A hose by its mark, or some that stand in the same rows, with those they can be crossed with.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Found {
    pub marks: Vec<String>,
    pub partners: Vec<Partner>,
}

impl Found {
    /// About how many bytes it takes on a page.
    pub fn bytes(&self) -> usize {
        let all = |marks: &[String]| marks.iter().map(|mark| 2 + mark.len()).sum::<usize>();
        let rows = |partner: &Partner| partner.rows.iter().map(|rows| 30 + rows.seen.len()).sum::<usize>();
        let partner = |partner: &Partner| 30 + all(&partner.marks) + rows(partner);
        50 + all(&self.marks) + self.partners.iter().map(partner).sum::<usize>()
    }
}

/// Other hoses, empty for any, and the rows in which they are crossed.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Partner {
    pub marks: Vec<String>,
    pub rows: Vec<FoundRows>,
}

/// One row, or several that follow each other; what is seen where the index says so.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct FoundRows {
    pub first: u32,
    pub last: u32,
    pub seen: String,
}

/// The circuit drawn once, and a figure for each direction of each pump that shows it.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Drawing {
    pub base_html: String,
    pub key_says: String,
    pub figures: Vec<Direction>,
}

/// One direction of one pump.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Direction {
    pub name: String,
    /// The variants, where it is not the same on all.
    pub on: String,
    pub figure: Figure,
}

/// A way through a valve block, by its number in the drawing.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Passage {
    pub number: u32,
    pub kind: String,
    pub from: String,
    pub to: String,
    pub pilot: String,
    pub opens_at: Option<Shown>,
}

/// What a pocket at the limit costs in one hose.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Pocket {
    pub mark: String,
    /// The variants, where it is not the same on all.
    pub on: String,
    pub volume: String,
    pub at_once: Shown,
    pub settled: Shown,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Circuit {
    pub name: String,
    pub pumps: Vec<Link>,
    pub hoses: Vec<Hose>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct Hose {
    pub anchor: String,
    /// The mark on the hose, such as "C1".
    pub mark: String,
    pub colour: Colour,
    pub bore: Shown,
    pub length: Shown,
    pub fitting: String,
    pub from: End,
    pub to: End,
    /// The other line of the same actuator.
    pub pair: Option<Link>,
    pub applies_to: Vec<String>,
}

/// How a hose is drawn: its own colour, its rings across it, a dash pattern along it that tells it apart without colour.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Colour {
    pub name: String,
    /// SVG paint, such as `#8a1c1c`.
    pub fill: String,
    /// SVG paint of the dashes, chosen to stand out from `fill`.
    pub dash_fill: String,
    /// SVG dash array; empty for a plain line.
    pub dash: String,
    /// Where its rings lie on a swatch of 96 units, and their paint.
    pub rings: Vec<u32>,
    pub ring_fill: String,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct End {
    pub part: Link,
    pub port: String,
    /// The marks of the hoses that the port takes, where the writer says so.
    pub takes: String,
}

/// What one actuator does in one pump direction.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Motion {
    pub direction: String,
    pub actuator: Link,
    pub does: String,
}

/// Crossings that look alike: pairs of hose ends that fit each other's port, and what is seen.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Crossing {
    pub seen: String,
    /// All pairs by their marks, in as few lines as may be.
    pub hoses: Vec<String>,
    /// Where they are crossed, and on which variants; empty where it is not the same for all.
    pub at: String,
    pub on: String,
    /// The pairs again, where there is more to say of them.
    pub pairs: Vec<Pair>,
    pub scenes: Vec<Scene>,
    /// Nothing shows it.
    pub unseen: bool,
    /// Says of which pair the scenes tell, where the others do it with other actuators.
    pub said_of: String,
    pub faults: Vec<Link>,
}

impl Crossing {
    /// About how many bytes it takes on a page.
    pub fn bytes(&self) -> usize {
        let pair =
            |pair: &Pair| 60 + [&pair.hoses, &pair.at, &pair.instead, &pair.on].map(String::len).iter().sum::<usize>();
        let lines = |lines: &[String]| lines.iter().map(|line| 30 + line.len()).sum::<usize>();
        let scene =
            |scene: &Scene| 30 + scene.when.len() + scene.on.len() + lines(&scene.dangers) + lines(&scene.others);
        let links = self.faults.iter().map(|link| 20 + link.href.len() + link.text.len()).sum::<usize>();
        let own = 120 + lines(&self.hoses) + self.at.len() + self.on.len() + self.said_of.len();
        own + links + self.pairs.iter().map(pair).sum::<usize>() + self.scenes.iter().map(scene).sum::<usize>()
    }
}

/// Two hoses by their marks.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Pair {
    pub hoses: String,
    /// The part or the two parts where they are crossed.
    pub at: String,
    /// Which actuators take the places of those in the scenes.
    pub instead: String,
    /// The variants, where it is not on all.
    pub on: String,
}

/// What is seen in some directions.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Scene {
    pub when: String,
    /// The variants, where it is not on all of the row.
    pub on: String,
    pub dangers: Vec<String>,
    pub others: Vec<String>,
}

/// Hoses that may share a colour, one line a colour.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Marking {
    /// The variants, where it is not the same on all.
    pub on: String,
    pub groups: Vec<String>,
}

/// Something seen where a circuit stops doing its work.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Stall {
    pub seen: String,
    pub suspects: Vec<Link>,
}

/// A part that could cause it, and the complaints that cover the part.
#[derive(Clone, Debug, Default, Serialize)]
pub struct Suspect {
    pub part: Link,
    pub faults: Vec<Link>,
}

#[derive(Clone, Debug, Default, Serialize)]
pub struct AirLimit {
    pub place: String,
    pub shown: Shown,
    pub says: String,
    pub source: Option<Source>,
}
