//! What was not read, and so may hold what others mention: one unreadable file is one finding.

use std::collections::BTreeSet;

use super::file::{FOLDERS, Role};
use super::ledger::words_like_ids;
use crate::model::{Kind, Name};

/// What is known of the parts of a guide that could not be read.
#[derive(Debug, Default)]
pub(super) struct Gaps {
    /// Words that stand there.
    words: BTreeSet<String>,
    /// Kinds whose entries stand there, where even the words are unknown.
    kinds: BTreeSet<Kind>,
    /// Files whose names differ from another one's only in case.
    pub(super) twins: BTreeSet<String>,
}

impl Gaps {
    /// Takes in text that is not read.
    pub(super) fn text(&mut self, text: &str) {
        self.words.extend(words_like_ids(text));
    }

    /// Takes in words of an unread part of a file.
    pub(super) fn words(&mut self, words: &mut BTreeSet<String>) {
        self.words.append(words);
    }

    /// Takes in a file or folder of which nothing is known but its path.
    pub(super) fn path(&mut self, path: &str) {
        let first = path.split('/').next().unwrap_or("");
        self.kinds.extend(match FOLDERS.iter().find(|(name, ..)| *name == first) {
            Some((_, _, role)) => kinds_of(*role),
            None if path == "guide.toml" => kinds_of(Role::Guide),
            None if path == "terms.toml" => kinds_of(Role::Terms),
            None => &[],
        });
    }

    /// True where even the words of a file are unknown.
    pub(super) fn is_blind(&self) -> bool {
        !self.kinds.is_empty()
    }

    /// True where a name may be declared in what was not read.
    pub(super) fn may_hold(&self, name: &Name) -> bool {
        let kind = |kind| self.kinds.contains(&kind);
        kind(name.kind) || (name.kind == Kind::Source && kind(Kind::Bulletin)) || self.words.contains(&name.id)
    }
}

fn kinds_of(role: Role) -> &'static [Kind] {
    match role {
        Role::Guide => &[Kind::Variant, Kind::Depot, Kind::State, Kind::Hazard, Kind::Source, Kind::LikelihoodWord],
        Role::Terms => &[Kind::Term],
        Role::Parts => &[Kind::Part],
        Role::Bulletins => &[Kind::Bulletin],
        Role::Faults => &[Kind::Fault, Kind::Cause, Kind::Check, Kind::Access],
        Role::Procedures => &[Kind::Procedure],
        Role::Hoses => &[Kind::Circuit, Kind::Pump, Kind::Actuator, Kind::Port, Kind::Hose, Kind::Passage],
        Role::Wiring => &[Kind::WiringPath, Kind::Node, Kind::TestPoint],
        Role::Sequences => &[Kind::Signal, Kind::Sequence, Kind::SequenceStep],
        Role::Readings => &[Kind::Reading, Kind::Band],
        Role::Notes => &[Kind::Note],
        Role::Card | Role::Results | Role::Media | Role::Ignored | Role::Stray => &[],
    }
}
