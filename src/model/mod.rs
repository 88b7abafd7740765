//! The guide as inert data with typed ids. Nothing here reads, judges or words anything.

pub mod quantity;

mod bulletin;
mod card;
mod caution;
mod entry;
mod fault;
mod guide;
mod hoses;
mod id;
mod index;
mod job_record;
mod kind;
mod note;
mod part;
mod procedure;
mod prose;
mod reading;
mod sequence;
mod shelf;
mod terms;
mod value;
mod variant;
mod wiring;

pub use bulletin::Bulletin;
pub use card::{Card, CardBlock, CardSize, CardTopic};
pub use caution::{Caution, Hazard, HazardKind, Signal};
pub use entry::{AnyEntry, Entry, Head, Touches};
pub use fault::{
    Access, Answer, Cause, Check, CrossingAnswer, CrossingChecks, ErrorRates, Fault, Likelihood, Occurrence, Verify,
};
pub use guide::{
    Depot, Edition, Escalation, Guide, LikelihoodWord, Reference, ReferenceKind, Softening, State, StateChange,
    UnitsFirst,
};
pub use hoses::{Actuator, AirLimits, Circuit, Hose, LevelMarks, Motion, Passage, PassageKind, Port, Pump, Rods, Side};
pub use id::{Id, Link};
pub use index::{
    Declared, EntryKey, FigureSite, Index, LinkSite, Name, PictureSite, ProseRole, ProseSite, ValueSite, VariedSite,
};
pub use job_record::{Certainty, JobRecord};
pub use kind::Kind;
pub use note::Note;
pub use part::{Contact, Fluid, Load, LookAlike, Part, PartHazard, PartKind, Picture, RecalibrationNeed, Spec};
pub use procedure::{CheckAgain, Consumable, FunctionTest, Need, Procedure, ProcedureKind, Recalibration, Step};
pub use prose::Prose;
pub use reading::{Band, Reading, SumRule, Verdict};
pub use sequence::{Condition, Sequence, SequenceStep, SignalLine};
pub use shelf::Shelf;
pub use terms::Term;
pub use value::{Cited, Sourced, Varied};
pub use variant::{SerialRange, Variant, applies};
pub use wiring::{Node, NodeKind, TestPoint, WiringPath};
