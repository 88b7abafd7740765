//! Faults: complaint, causes, checks.

use super::quantity::Quantity;
use super::{
    Band, Caution, Entry, Head, Kind, LikelihoodWord, Link, Procedure, Prose, Reading, State, TestPoint, Touches,
    WiringPath,
};
use crate::text::{Located, Span};

/// One complaint heard in the bay.
#[derive(Debug, Clone)]
pub struct Fault {
    pub head: Head,
    /// The complaint in the customer's words; the title of the page.
    pub symptom: Located<String>,
    pub also_said: Vec<Located<String>>,
    /// Codes the control unit blinks.
    pub codes: Vec<Located<String>>,
    pub occurs: Occurrence,
    /// How to see that the complaint is real.
    pub verify: Option<Verify>,
    /// Cautions for the whole fault.
    pub cautions: Vec<Caution>,
    /// Share of "none of these", against the causes' shares.
    pub none_of_these: Option<Located<u32>>,
    pub accesses: Vec<Access>,
    pub causes: Vec<Cause>,
    pub checks: Vec<Check>,
    /// Checks that are made from what crossed hoses do.
    pub crossings: Vec<CrossingChecks>,
    /// Background.
    pub says: Option<Prose>,
}

/// Whether the fault is always there.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Occurrence {
    #[default]
    Constant,
    Intermittent,
}

/// Confirming the complaint before anything else.
#[derive(Debug, Clone)]
pub struct Verify {
    /// What to do and see.
    pub says: Prose,
    pub seconds: Option<Located<u32>>,
    pub state: Option<Link<State>>,
    pub cautions: Vec<Caution>,
    /// Parts that are opened, moved or disturbed by it.
    pub touches: Touches,
    /// What to do when the complaint does not show.
    pub otherwise: Option<Prose>,
}

/// Preparation that several checks share; paid once.
#[derive(Debug, Clone)]
pub struct Access {
    pub id: Located<String>,
    /// What to do.
    pub action: Located<String>,
    pub seconds: Located<u32>,
    /// Accesses that must be open before.
    pub needs: Vec<Link<Access>>,
    pub state: Option<Link<State>>,
    pub make_safe: Vec<Link<Procedure>>,
    pub tools: Vec<Located<String>>,
    pub cautions: Vec<Caution>,
    pub touches: Touches,
    pub span: Span,
}

/// One reason for the fault.
#[derive(Debug, Clone)]
pub struct Cause {
    pub id: Located<String>,
    pub says: Located<String>,
    pub likelihood: Option<Likelihood>,
    /// The one procedure that mends it.
    pub repair: Option<Link<Procedure>>,
    /// Causes it brings with it, of this fault or of another.
    pub brings: Vec<Link<Cause>>,
    /// Why it may be concluded from everything else being excluded.
    pub by_elimination: Option<Located<String>>,
    /// Two hose ends crossed with each other, where that is the cause.
    pub crossing: Vec<Link<super::Hose>>,
    pub span: Span,
}

/// How likely a cause is, against the other causes of its fault.
#[derive(Debug, Clone)]
pub enum Likelihood {
    /// A relative share.
    Share(Located<u32>),
    /// A word of the guide's scale.
    Word(Link<LikelihoodWord>),
}

/// One observation or measurement.
#[derive(Debug, Clone)]
pub struct Check {
    pub id: Located<String>,
    /// The question its answers answer.
    pub ask: Located<String>,
    /// How to do it.
    pub how: Option<Prose>,
    pub seconds: Located<u32>,
    pub access: Vec<Link<Access>>,
    /// The machine state it needs.
    pub state: Option<Link<State>>,
    /// Procedures to have done before it.
    pub make_safe: Vec<Link<Procedure>>,
    /// Checks that come before it.
    pub after: Vec<Link<Check>>,
    /// Always looked at before anything else.
    pub first: bool,
    pub tools: Vec<Located<String>>,
    pub cautions: Vec<Caution>,
    pub touches: Touches,
    pub reading: Option<Link<Reading>>,
    pub test_point: Option<(Link<WiringPath>, Link<TestPoint>)>,
    /// The repair this check tries, where swapping a thing is the check.
    pub tries: Option<Link<Procedure>>,
    pub error_rates: Option<ErrorRates>,
    pub answers: Vec<Answer>,
    pub span: Span,
}

/// How often a check is wrong.
#[derive(Debug, Clone)]
pub struct ErrorRates {
    /// It says the cause is not there although it is.
    pub misses: Option<Located<Quantity>>,
    /// It says the cause is there although it is not.
    pub false_alarms: Option<Located<Quantity>>,
}

/// One answer of a check.
#[derive(Debug, Clone)]
pub struct Answer {
    pub says: Located<String>,
    /// The bands of the check's reading that this answer stands for.
    pub bands: Vec<Link<Band>>,
    /// Causes still possible after it.
    pub leaves: Vec<Link<Cause>>,
    /// The fault to go on with, when it is not this one.
    pub go_to: Option<Link<Fault>>,
    /// True where a machine with none of the causes gives this answer.
    pub sound: bool,
    pub span: Span,
}

/// How the machine is watched while its pumps run, to tell the causes that are crossed hoses: every direction of the
/// pumps becomes a check.
#[derive(Debug, Clone)]
pub struct CrossingChecks {
    pub pumps: Vec<Link<super::Pump>>,
    /// The question; `{direction}` stands for what the operator calls the direction.
    pub ask: Located<String>,
    pub how: Option<Prose>,
    pub seconds: Located<u32>,
    pub access: Vec<Link<Access>>,
    pub state: Option<Link<State>>,
    pub make_safe: Vec<Link<Procedure>>,
    pub tools: Vec<Located<String>>,
    pub cautions: Vec<Caution>,
    pub touches: Touches,
    /// Where the rods stand before each of these checks; all in where nothing is said.
    pub rods: Option<Located<super::Rods>>,
    /// The answer where nothing moves.
    pub nothing: Located<String>,
    /// The answer where all moves as on a sound machine.
    pub as_it_should: Located<String>,
    /// The answer where something else moves; `{moves}` stands for what does.
    pub only: Option<Located<String>>,
    /// What causes that are no crossings look like.
    pub answers: Vec<CrossingAnswer>,
    pub span: Span,
}

/// What causes that are no crossings look like while a pump runs.
#[derive(Debug, Clone)]
pub struct CrossingAnswer {
    /// As it should be, where nothing is said.
    pub says: Option<Located<String>>,
    /// Only for the checks of this pump.
    pub pump: Option<Link<super::Pump>>,
    pub leaves: Vec<Link<Cause>>,
}

impl Entry for Fault {
    const KIND: Kind = Kind::Fault;

    fn head(&self) -> &Head {
        &self.head
    }

    fn title(&self) -> &str {
        &self.symptom
    }
}
