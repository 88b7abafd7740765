//! Joining what the files hold, in the order of their paths.

use super::file::{GUIDE, Piece};
use super::gaps::Gaps;
use super::ledger::Declaration;
use super::{Draft, doubt, troubles, unknown};
use crate::model::{Declared, Guide, Kind, Name};
use crate::report::Finding;
use crate::text::{FileId, Span};

/// Moves everything into the draft, then reports ids declared twice and mentions of ids nobody declared.
pub(super) fn into_draft(pieces: Vec<Piece>, mut gaps: Gaps, draft: &mut Draft) {
    for mut piece in pieces {
        gaps.words(&mut piece.ledger.unread);
        let twin = gaps.twins.contains(draft.sources.path(piece.ledger.file));
        declare(&mut piece, twin, draft);
        piece.ledger.pour_into(&mut draft.guide.index);
        // One finding says that two names are the same on many systems; what comes of it is not said again.
        piece.ledger.findings.retain(|finding| !(twin && finding.rule == "bad-id" && finding.span.end == 0));
        draft.findings.append(&mut piece.ledger.findings);
        draft.silenced.append(&mut piece.ledger.silenced);
        draft.guide.absorb(piece.guide);
    }
    if draft.sources.find(GUIDE).is_none() {
        report_no_guide(draft);
        gaps.path(GUIDE);
    } else if let Some(file) = draft.sources.find(GUIDE).filter(|file| is_bare(draft, *file)) {
        // What is missing in it is said in one finding, and what comes of it is not said.
        draft.findings.retain(|finding| finding.span.file != file);
        draft.findings.push(troubles::bare_guide(Span::start_of(file)));
        gaps.path(GUIDE);
    }
    report_no_entries(&gaps, draft);
    if gaps.is_blind() {
        // Nothing can be judged while a whole file is missing.
        draft.silenced.extend((0..u32::MAX).zip(draft.sources.iter()).map(|(file, _)| whole(FileId(file))));
    }
    unknown::report(draft, &gaps);
    draft.doubted = doubt::resting_on_broken(&draft.guide.index, &draft.silenced);
}

/// A guide of nothing but its main files, where none was lost.
fn report_no_entries(gaps: &Gaps, draft: &mut Draft) {
    let alone = draft.sources.iter().all(|source| !source.path.contains('/'));
    let begun = !draft.guide.edition.span.is_nowhere() && !gaps.is_blind();
    if let Some(file) = draft.sources.find(GUIDE).filter(|_| alone && begun) {
        draft.findings.push(troubles::no_entries(Span::start_of(file)));
    }
}

/// True for a file that holds remarks at most, and no trouble that explains it.
fn is_bare(draft: &Draft, file: FileId) -> bool {
    let lines = draft.sources.get(file).map(|source| source.text.lines().map(str::trim));
    let bare = lines.is_some_and(|mut lines| lines.all(|line| line.is_empty() || line.starts_with('#')));
    bare && !draft.findings.iter().any(|finding| finding.span.file == file && finding.rule != "missing-field")
}

fn whole(file: FileId) -> Span {
    Span::new(file, 0..usize::MAX)
}

fn report_no_guide(draft: &mut Draft) {
    let empty = draft.sources.iter().next().is_none();
    let other = draft.other_guide.take();
    let file = draft.sources.add(GUIDE, "");
    draft.findings.push(troubles::no_guide(Span::start_of(file), empty, other.as_deref()));
}

fn declare(piece: &mut Piece, twin: bool, draft: &mut Draft) {
    // What stands inside a record that is there twice is there twice with it, and not worth a finding of its own.
    let mut inside: Option<Span> = None;
    for Declaration { name, id, record, broken } in piece.ledger.declared.drain(..) {
        match draft.guide.index.declared.get_mut(&name) {
            None => {
                draft.guide.index.declared.insert(name, Declared { span: id, broken });
            }
            Some(first) => {
                if !twin && !inside.is_some_and(|outer| outer.start <= id.start && id.end <= outer.end) {
                    draft.findings.push(twice(&name, id, first.span));
                    let record = if owns_its_file(name.kind) { whole(id.file) } else { record };
                    inside = Some(record);
                }
                // The first stays in the model; rules about the second would judge a record nobody can reach.
                draft.silenced.push(inside.unwrap_or(record));
            }
        }
    }
}

/// True for kinds whose file holds one entry and what belongs to it.
fn owns_its_file(kind: Kind) -> bool {
    matches!(kind, Kind::Fault | Kind::Procedure | Kind::Circuit | Kind::WiringPath | Kind::Sequence)
}

fn twice(name: &Name, span: Span, first: Span) -> Finding {
    let within = name.owner.as_ref().map(|owner| format!(" in `{owner}`")).unwrap_or_default();
    let wrong = format!("A {} `{}` is there already{within}.", name.kind.word(), name.id);
    let remedy = "Give one of the two another id, and change the places that mean it; or take one out.";
    Finding::new("duplicate-id", span, wrong, remedy).with(first, "the first one")
}

impl Guide {
    /// Takes over what another file holds.
    fn absorb(&mut self, other: Guide) {
        if !other.edition.span.is_nowhere() {
            self.edition = other.edition;
        }
        self.escalation = self.escalation.take().or(other.escalation);
        self.cautions.extend(other.cautions);
        self.state_changes.extend(other.state_changes);
        self.softenings.extend(other.softenings);
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
