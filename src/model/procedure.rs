//! Procedures: repairs and tasks.

use super::quantity::Quantity;
use super::{
    Caution, Check, Cited, Depot, Entry, Fault, Hazard, Head, Kind, Link, Part, Picture, Prose, Reading, State,
    Touches, Variant, Varied,
};
use crate::text::{Located, Span};

/// A repair or a task.
#[derive(Debug, Clone)]
pub struct Procedure {
    pub head: Head,
    pub title: Located<String>,
    pub kind: Located<ProcedureKind>,
    /// What it is for.
    pub says: Option<Prose>,
    pub seconds: Located<u32>,
    /// Hazards that are gone after it.
    pub makes_safe: Vec<Link<Hazard>>,
    /// The state the machine must be in before step 1.
    pub state: Option<Link<State>>,
    /// Procedures to have done before step 1.
    pub make_safe: Vec<Link<Procedure>>,
    pub cautions: Vec<Caution>,
    pub tools: Vec<Located<String>>,
    pub consumables: Vec<Consumable>,
    /// What the procedure as a whole does to parts.
    pub touches: Touches,
    /// Recalibration tag; more than one where it differs by variant.
    pub recalibration: Vec<Recalibration>,
    pub steps: Vec<Step>,
    pub check_again: Vec<CheckAgain>,
    pub function_test: Option<FunctionTest>,
    /// Who gives the machine back, and how.
    pub release: Option<Prose>,
}

/// What a procedure is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum ProcedureKind {
    Repair,
    Task,
    MakeSafe,
    Test,
}

/// Whether the control unit must be recalibrated; the greater need is the later one.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Need {
    None,
    Conditional,
    Required,
}

/// The recalibration tag of a procedure.
#[derive(Debug, Clone)]
pub struct Recalibration {
    pub need: Located<Need>,
    /// The condition, where the need is conditional.
    pub when: Option<Located<String>>,
    pub because: Option<Located<String>>,
    /// The depots that may do it.
    pub by: Vec<Link<Depot>>,
    pub source: Option<Cited>,
    pub variants: Option<Vec<Link<Variant>>>,
    pub span: Span,
}

/// Something used up.
#[derive(Debug, Clone)]
pub struct Consumable {
    pub part: Option<Link<Part>>,
    pub name: Option<Located<String>>,
    pub amount: Varied<Quantity>,
    /// How many, where it is counted.
    pub count: Option<Located<u32>>,
    pub span: Span,
}

/// One step.
#[derive(Debug, Clone)]
pub struct Step {
    /// What to do; `step-without-action` reports an empty one.
    pub action: Option<Prose>,
    /// The procedure this step runs.
    pub run: Option<Link<Procedure>>,
    /// What it should look like afterwards.
    pub expect: Option<Prose>,
    pub cautions: Vec<Caution>,
    pub touches: Touches,
    pub torque: Varied<Quantity>,
    pub reading: Option<Link<Reading>>,
    pub picture: Option<Picture>,
    /// How long to wait, for a timer.
    pub wait: Option<Located<Quantity>>,
    pub span: Span,
}

/// Something to check after the repair.
#[derive(Debug, Clone)]
pub struct CheckAgain {
    pub says: Option<Located<String>>,
    pub reading: Option<Link<Reading>>,
    /// A check of a fault.
    pub check: Option<(Link<Fault>, Option<Link<Check>>)>,
    pub procedure: Option<Link<Procedure>>,
    pub span: Span,
}

/// How to see that the machine works again.
#[derive(Debug, Clone)]
pub struct FunctionTest {
    pub says: Option<Prose>,
    pub procedure: Option<Link<Procedure>>,
}

impl Entry for Procedure {
    const KIND: Kind = Kind::Procedure;

    fn head(&self) -> &Head {
        &self.head
    }

    fn title(&self) -> &str {
        &self.title
    }
}
