//! Joining what the files hold, in the order of their paths.

use std::collections::BTreeMap;

use super::file::Piece;
use super::{Draft, troubles};
use crate::model::{Declared, Guide, Index, Kind, Name};
use crate::report::Finding;
use crate::text::{FileId, Sources, Span, nearest};

/// Moves everything into the draft, then reports ids declared twice and mentions of ids nobody declared.
pub(super) fn into_draft(pieces: Vec<Piece>, draft: &mut Draft) {
    let mut torn = Vec::new();
    let mut edition_read = false;
    for mut piece in pieces {
        if piece.torn {
            torn.push(piece.ledger.file);
        }
        edition_read |= draft.sources.path(piece.ledger.file) == "guide.toml";
        declare(&mut piece, draft);
        piece.ledger.pour_into(&mut draft.guide.index);
        draft.findings.append(&mut piece.ledger.findings);
        draft.silenced.append(&mut piece.ledger.silenced);
        draft.guide.absorb(piece.guide);
    }
    if !edition_read && !draft.sources.iter().any(|source| source.path == "guide.toml") {
        let file = draft.sources.add("guide.toml", "");
        draft.findings.push(troubles::no_guide(Span::start_of(file), draft.sources.iter().count() == 1));
    }
    report_unknown(draft, &torn);
}

fn declare(piece: &mut Piece, draft: &mut Draft) {
    for (name, span, broken) in piece.ledger.declared.drain(..) {
        match draft.guide.index.declared.get_mut(&name) {
            None => {
                draft.guide.index.declared.insert(name, Declared { span, broken });
            }
            Some(first) => {
                // The first stays in the model; rules about the second would judge a record nobody can reach.
                draft.findings.push(twice(&name, span, first.span));
                draft.silenced.push(span);
            }
        }
    }
}

fn twice(name: &Name, span: Span, first: Span) -> Finding {
    let within = name.owner.as_ref().map(|owner| format!(" in `{owner}`")).unwrap_or_default();
    let wrong = format!("A {} `{}` is there already{within}.", name.kind.word(), name.id);
    let remedy = "Give one of the two another id, and change the places that mean it; or take one out.";
    Finding::new("duplicate-id", span, wrong, remedy).with(first, "the first one")
}

fn report_unknown(draft: &mut Draft, torn: &[FileId]) {
    let known = known_ids(&draft.guide.index);
    let mut found = Vec::new();
    for link in &draft.guide.index.links {
        if is_declared(&draft.guide.index, &link.to) || stands_in_torn(&draft.sources, torn, &link.to.id) {
            continue;
        }
        if link.role == "brings" {
            found.extend(unknown_brought(&draft.guide.index, &link.to, link.span, &known));
            continue;
        }
        if owner_is_lost(&draft.guide.index, &link.to) {
            continue;
        }
        let rule = if link.role == "text" { "dead-link" } else { "unknown-id" };
        found.push(unknown(rule, &link.to, link.span, &known));
    }
    draft.findings.append(&mut found);
}

/// A brought cause may stand in another fault, which may itself be unknown.
fn unknown_brought(index: &Index, name: &Name, span: Span, known: &Known<'_>) -> Option<Finding> {
    const RULE: &str = "brought-cause-unknown-to-any-fault";
    let fault = Name::global(Kind::Fault, name.owner.clone()?);
    match index.declared.get(&fault) {
        None => Some(unknown(RULE, &fault, span, known)),
        Some(declared) if declared.broken => None,
        Some(_) => Some(unknown(RULE, name, span, known)),
    }
}

/// A source may be a source of guide.toml or a bulletin.
fn is_declared(index: &Index, name: &Name) -> bool {
    index.declared.contains_key(name)
        || (name.kind == Kind::Source && index.declared.contains_key(&Name::global(Kind::Bulletin, name.id.as_str())))
}

/// An id inside an owner that is unknown or lost says nothing more than the owner's own finding.
fn owner_is_lost(index: &Index, name: &Name) -> bool {
    let Some(owner) = &name.owner else { return false };
    let kind = match name.kind {
        Kind::Cause | Kind::Check | Kind::Access => Kind::Fault,
        Kind::Band => Kind::Reading,
        Kind::Node | Kind::TestPoint => Kind::WiringPath,
        Kind::SequenceStep => Kind::Sequence,
        _ => return false,
    };
    let declared = index.declared.get(&Name::global(kind, owner.as_str()));
    declared.is_none_or(|declared| declared.broken)
}

/// True where the id stands in a file whose TOML is broken: its record may just not have been reached.
fn stands_in_torn(sources: &Sources, torn: &[FileId], id: &str) -> bool {
    torn.iter().filter_map(|file| sources.get(*file)).any(|source| source.text.contains(id))
}

type Known<'i> = BTreeMap<(Kind, Option<&'i str>), Vec<&'i str>>;

fn known_ids(index: &Index) -> Known<'_> {
    let mut known = Known::new();
    for name in index.declared.keys() {
        known.entry((name.kind, name.owner.as_deref())).or_default().push(&name.id);
    }
    known
}

fn unknown(rule: &'static str, name: &Name, span: Span, known: &Known<'_>) -> Finding {
    let candidates = known.get(&(name.kind, name.owner.as_deref())).map(Vec::as_slice).unwrap_or_default();
    let within = name.owner.as_ref().map(|owner| format!(" of `{owner}`")).unwrap_or_default();
    let wrong = format!("No {}{within} is called `{}`.", name.kind.word(), name.id);
    let elsewhere = || known.iter().find(|((kind, _), ids)| *kind != name.kind && ids.contains(&name.id.as_str()));
    let remedy = match nearest(&name.id, candidates.iter().copied()) {
        Some(id) => format!("Write `{id}`, if that was meant; else add a {} `{}`.", name.kind.word(), name.id),
        None => match elsewhere() {
            Some(((kind, _), _)) => {
                format!("`{}` is a {}: name a {} here.", name.id, kind.word(), name.kind.word())
            }
            None => {
                format!("Add a {} `{}`, or name one that is there.{}", name.kind.word(), name.id, some_of(candidates))
            }
        },
    };
    Finding::new(rule, span, wrong, remedy)
}

fn some_of(candidates: &[&str]) -> String {
    match candidates {
        [] => String::new(),
        few if few.len() <= 8 => format!(" There are: {}.", few.join(", ")),
        _ => String::new(),
    }
}

impl Guide {
    /// Takes over what another file holds.
    fn absorb(&mut self, other: Guide) {
        if other.edition.span != Span::default() || !other.edition.title.value.is_empty() {
            self.edition = other.edition;
            self.cautions = other.cautions;
            self.escalation = other.escalation;
            self.state_changes = other.state_changes;
            self.softenings = other.softenings;
        }
        self.depots.absorb(other.depots);
        self.variants.absorb(other.variants);
        self.states.absorb(other.states);
        self.hazards.absorb(other.hazards);
        self.references.absorb(other.references);
        self.likelihood_words.absorb(other.likelihood_words);
        self.parts.absorb(other.parts);
        self.bulletins.absorb(other.bulletins);
        self.faults.absorb(other.faults);
        self.procedures.absorb(other.procedures);
        self.circuits.absorb(other.circuits);
        self.wiring.absorb(other.wiring);
        self.signals.absorb(other.signals);
        self.sequences.absorb(other.sequences);
        self.readings.absorb(other.readings);
        self.notes.absorb(other.notes);
        self.terms.absorb(other.terms);
        self.card = self.card.take().or(other.card);
        self.job_records.extend(other.job_records);
    }
}
