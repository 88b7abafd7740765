//! Hazards and the safety messages about them.

use super::{Entry, Head, Id, Kind, Link, Prose};
use crate::text::Located;

/// The signal words, with the meanings of ANSI Z535.6 (from memory), the gravest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Signal {
    /// Will result in death or serious injury if not avoided.
    Danger,
    /// Could result in death or serious injury.
    Warning,
    /// Could result in minor or moderate injury.
    Caution,
    /// Not about injury: damage to things.
    Notice,
}

/// What can hurt, in kind.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum HazardKind {
    Pressure,
    FallingMass,
    ClosingMass,
    StoredElectricity,
    HotFluid,
    Chemical,
    Sharp,
}

/// Something on this machine that can hurt, declared once and named wherever it is met.
#[derive(Debug, Clone)]
pub struct Hazard {
    /// Id and place.
    pub head: Head,
    /// What kind of harm.
    pub kind: Located<HazardKind>,
    /// How grave, as a signal word.
    pub signal: Located<Signal>,
    /// What the hazard is, in a few words.
    pub name: Located<String>,
    /// What happens to a person who meets it.
    pub consequence: Prose,
    /// How to keep clear of it.
    pub avoid: Prose,
}

/// A safety message before an action. Either the standing text of a declared hazard, or a text of its own.
#[derive(Debug, Clone)]
pub struct Caution {
    /// The hazard it speaks of, when it is a declared one.
    pub hazard: Option<Link<Hazard>>,
    /// Own signal word; else the hazard's.
    pub signal: Option<Located<Signal>>,
    /// Own words for the hazard; else the hazard's.
    pub says: Option<Located<String>>,
    /// Own consequence; else the hazard's.
    pub consequence: Option<Prose>,
    /// Own way to avoid it; else the hazard's.
    pub avoid: Option<Prose>,
    /// The whole record.
    pub span: crate::text::Span,
}

impl Caution {
    /// True where this caution speaks of the hazard.
    pub fn covers(&self, hazard: &Id<Hazard>) -> bool {
        self.hazard.as_ref().is_some_and(|link| link.value == *hazard)
    }
}

impl Entry for Hazard {
    const KIND: Kind = Kind::Hazard;

    fn head(&self) -> &Head {
        &self.head
    }

    fn title(&self) -> &str {
        &self.name
    }
}
