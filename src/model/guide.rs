//! The guide as a whole.

use std::collections::BTreeMap;

use jiff::civil::Date;

use super::{
    AnyEntry, Bulletin, Card, Caution, Circuit, Entry, Fault, Hazard, Head, Index, JobRecord, Kind, Link, Note, Part,
    Procedure, Prose, Reading, Sequence, Shelf, SignalLine, Term, Variant, WiringPath,
};
use crate::text::{Located, Span};

/// Everything a guide folder says.
#[derive(Debug, Clone, Default)]
pub struct Guide {
    pub edition: Edition,
    /// Cautions that stand on every page.
    pub cautions: Vec<Caution>,
    pub escalation: Option<Escalation>,
    pub depots: Shelf<Depot>,
    pub variants: Shelf<Variant>,
    pub states: Shelf<State>,
    pub state_changes: Vec<StateChange>,
    pub hazards: Shelf<Hazard>,
    pub references: Shelf<Reference>,
    pub likelihood_words: Shelf<LikelihoodWord>,
    pub softenings: Vec<Softening>,
    pub parts: Shelf<Part>,
    pub bulletins: Shelf<Bulletin>,
    pub faults: Shelf<Fault>,
    pub procedures: Shelf<Procedure>,
    pub circuits: Shelf<Circuit>,
    pub wiring: Shelf<WiringPath>,
    pub signals: Shelf<SignalLine>,
    pub sequences: Shelf<Sequence>,
    pub readings: Shelf<Reading>,
    pub notes: Shelf<Note>,
    pub terms: Shelf<Term>,
    pub card: Option<Card>,
    pub job_records: Vec<JobRecord>,
    /// The pictures of `media/`, by file name.
    pub pictures: BTreeMap<String, Vec<u8>>,
    /// Every id, mention, value, text and picture met while reading.
    pub index: Index,
}

/// What names this edition of the guide.
#[derive(Debug, Clone, Default)]
pub struct Edition {
    pub title: Located<String>,
    /// The edition, as printed ("4").
    pub number: Located<String>,
    pub date: Located<Date>,
    pub publisher: Located<String>,
    /// A BCP 47 tag, as HTML's `lang` takes it.
    pub language: Located<String>,
    /// Which system of units stands first.
    pub units: UnitsFirst,
    /// Where the guide can be reached, for QR codes; ends in `/`.
    pub base_address: Option<Located<String>>,
    /// How many months an entry stays reviewed.
    pub review_months: Option<Located<u32>>,
    /// What the whole guide is about, on the front page.
    pub about: Option<Prose>,
    /// Said on every page of a guide about an invented machine.
    pub invented: Option<Located<String>>,
    /// The standing text: who may work, and whose instructions come first.
    pub standing: Option<Prose>,
    /// How many jobs the writer's opinion of likelihood weighs against records.
    pub opinion_jobs: Option<Located<u32>>,
    /// The table in guide.toml.
    pub span: Span,
}

/// The system of units printed first; the other stands behind it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum UnitsFirst {
    #[default]
    Si,
    Us,
}

/// Who to ask when no answer fits.
#[derive(Debug, Clone)]
pub struct Escalation {
    pub name: Located<String>,
    pub contact: Located<String>,
    pub hours: Option<Located<String>>,
    /// What to have at hand when calling.
    pub have_ready: Vec<Located<String>>,
    pub span: Span,
}

/// A place that may recalibrate the control unit.
#[derive(Debug, Clone)]
pub struct Depot {
    pub head: Head,
    pub name: Located<String>,
    pub contact: Option<Located<String>>,
    /// What to send.
    pub send: Vec<Located<String>>,
    /// Working days until it is back.
    pub lead_days: Located<u32>,
    /// Whether, and how far, the machine may move meanwhile.
    pub may_move: Prose,
    /// The test to run when it is back.
    pub test_on_return: Option<Link<Procedure>>,
}

/// A state of the machine that a check or procedure needs ("canopy down, key off").
#[derive(Debug, Clone)]
pub struct State {
    pub head: Head,
    pub name: Located<String>,
    /// How to bring the machine into it, and how to see that it is.
    pub says: Option<Prose>,
    /// Hazards that are not there in this state.
    pub safe_from: Vec<Link<Hazard>>,
}

/// What it takes to go from one state to another.
#[derive(Debug, Clone)]
pub struct StateChange {
    pub from: Link<State>,
    pub to: Link<State>,
    pub seconds: Located<u32>,
    /// The procedure that does it, where there is one.
    pub procedure: Option<Link<Procedure>>,
    pub span: Span,
}

/// Where values come from.
#[derive(Debug, Clone)]
pub struct Reference {
    pub head: Head,
    pub title: Located<String>,
    pub kind: Located<ReferenceKind>,
    pub date: Option<Located<Date>>,
}

/// What a source is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReferenceKind {
    Manual,
    Bulletin,
    Measurement,
    Standard,
    Practice,
}

/// A word for a likelihood, with its weight.
#[derive(Debug, Clone)]
pub struct LikelihoodWord {
    pub head: Head,
    /// Relative weight, as a share.
    pub share: Located<u32>,
}

/// A rule that does not hold in one place, and the reason.
#[derive(Debug, Clone)]
pub struct Softening {
    pub rule: Located<String>,
    /// The entry it is softened for, as `kind:id`.
    pub entry: Option<Located<(Kind, String)>>,
    /// The file it is softened for.
    pub file: Option<Located<String>>,
    pub because: Located<String>,
    pub span: Span,
}

impl Guide {
    /// Every entry of every kind, kind by kind, in the order of their ids.
    pub fn entries(&self) -> Vec<AnyEntry<'_>> {
        let mut all = Vec::new();
        push_all(&mut all, &self.faults);
        push_all(&mut all, &self.procedures);
        push_all(&mut all, &self.parts);
        push_all(&mut all, &self.circuits);
        push_all(&mut all, &self.wiring);
        push_all(&mut all, &self.sequences);
        push_all(&mut all, &self.readings);
        push_all(&mut all, &self.bulletins);
        push_all(&mut all, &self.notes);
        push_all(&mut all, &self.terms);
        push_all(&mut all, &self.variants);
        push_all(&mut all, &self.depots);
        push_all(&mut all, &self.states);
        push_all(&mut all, &self.hazards);
        push_all(&mut all, &self.references);
        push_all(&mut all, &self.signals);
        all
    }

    /// The entry of a kind with an id.
    pub fn entry(&self, kind: Kind, id: &str) -> Option<AnyEntry<'_>> {
        match kind {
            Kind::Fault => self.faults.find(id).map(AnyEntry::from),
            Kind::Procedure => self.procedures.find(id).map(AnyEntry::from),
            Kind::Part => self.parts.find(id).map(AnyEntry::from),
            Kind::Circuit => self.circuits.find(id).map(AnyEntry::from),
            Kind::WiringPath => self.wiring.find(id).map(AnyEntry::from),
            Kind::Sequence => self.sequences.find(id).map(AnyEntry::from),
            Kind::Reading => self.readings.find(id).map(AnyEntry::from),
            Kind::Bulletin => self.bulletins.find(id).map(AnyEntry::from),
            Kind::Note => self.notes.find(id).map(AnyEntry::from),
            Kind::Term => self.terms.find(id).map(AnyEntry::from),
            Kind::Variant => self.variants.find(id).map(AnyEntry::from),
            Kind::Depot => self.depots.find(id).map(AnyEntry::from),
            Kind::State => self.states.find(id).map(AnyEntry::from),
            Kind::Hazard => self.hazards.find(id).map(AnyEntry::from),
            Kind::Source => self.references.find(id).map(AnyEntry::from),
            Kind::Signal => self.signals.find(id).map(AnyEntry::from),
            _ => None,
        }
    }
}

fn push_all<'a, T: Entry>(all: &mut Vec<AnyEntry<'a>>, shelf: &'a Shelf<T>) {
    all.extend(shelf.iter().map(AnyEntry::from));
}

impl Entry for Depot {
    const KIND: Kind = Kind::Depot;

    fn head(&self) -> &Head {
        &self.head
    }

    fn title(&self) -> &str {
        &self.name
    }
}

impl Entry for State {
    const KIND: Kind = Kind::State;

    fn head(&self) -> &Head {
        &self.head
    }

    fn title(&self) -> &str {
        &self.name
    }
}

impl Entry for Reference {
    const KIND: Kind = Kind::Source;

    fn head(&self) -> &Head {
        &self.head
    }

    fn title(&self) -> &str {
        &self.title
    }
}
