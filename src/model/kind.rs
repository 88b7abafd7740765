//! The kinds of things that carry an id.

/// A kind of named thing. Ids are unique per kind; those of local kinds, per owner.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    Fault,
    Procedure,
    Part,
    Circuit,
    WiringPath,
    Sequence,
    Reading,
    Bulletin,
    Note,
    Term,
    Variant,
    Depot,
    State,
    Hazard,
    Source,
    LikelihoodWord,
    Signal,
    Pump,
    Actuator,
    Port,
    Hose,
    Passage,
    /// Local to a fault.
    Cause,
    /// Local to a fault.
    Check,
    /// Local to a fault.
    Access,
    /// Local to a reading.
    Band,
    /// Local to a wiring path.
    Node,
    /// Local to a wiring path.
    TestPoint,
    /// Local to a sequence.
    SequenceStep,
    /// A rule of the catalogue, named by a softening.
    Rule,
}

/// Every kind that has a page of its own, with the word that links use for it: `[text](part:canopy-pump)`.
const LINKABLE: [(Kind, &str); 10] = [
    (Kind::Fault, "fault"),
    (Kind::Procedure, "procedure"),
    (Kind::Part, "part"),
    (Kind::Circuit, "hoses"),
    (Kind::WiringPath, "wiring"),
    (Kind::Sequence, "sequence"),
    (Kind::Reading, "reading"),
    (Kind::Bulletin, "bulletin"),
    (Kind::Note, "note"),
    (Kind::Term, "term"),
];

impl Kind {
    /// The kind a link word stands for, as in `part:canopy-pump`.
    pub fn from_link_word(word: &str) -> Option<Self> {
        LINKABLE.iter().find(|(_, known)| *known == word).map(|(kind, _)| *kind)
    }

    /// The word links and addresses use for this kind, if it has pages of its own.
    pub fn link_word(self) -> Option<&'static str> {
        LINKABLE.iter().find(|(kind, _)| *kind == self).map(|(_, word)| *word)
    }

    /// Every kind that can be linked to, in page order.
    pub fn linkable() -> impl Iterator<Item = Self> {
        LINKABLE.iter().map(|(kind, _)| *kind)
    }

    /// The kind in a message, as in "no *wiring path* is called".
    pub fn word(self) -> &'static str {
        match self {
            Self::Fault => "fault",
            Self::Procedure => "procedure",
            Self::Part => "part",
            Self::Circuit => "circuit",
            Self::WiringPath => "wiring path",
            Self::Sequence => "sequence",
            Self::Reading => "reading",
            Self::Bulletin => "bulletin",
            Self::Note => "note",
            Self::Term => "term",
            Self::Variant => "variant",
            Self::Depot => "depot",
            Self::State => "machine state",
            Self::Hazard => "hazard",
            Self::Source => "source",
            Self::LikelihoodWord => "likelihood word",
            Self::Signal => "signal",
            Self::Pump => "pump",
            Self::Actuator => "actuator",
            Self::Port => "port",
            Self::Hose => "hose",
            Self::Passage => "passage",
            Self::Cause => "cause",
            Self::Check => "check",
            Self::Access => "access",
            Self::Band => "band",
            Self::Node => "node",
            Self::TestPoint => "test point",
            Self::SequenceStep => "sequence step",
            Self::Rule => "rule",
        }
    }

    /// True for kinds whose ids are unique only inside their owner.
    pub fn is_local(self) -> bool {
        matches!(
            self,
            Self::Cause | Self::Check | Self::Access | Self::Band | Self::Node | Self::TestPoint | Self::SequenceStep
        )
    }
}
