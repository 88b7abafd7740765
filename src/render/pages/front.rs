//! The front page.

use std::collections::BTreeMap;

use super::{Draft, guide_draft};
use crate::model::{Entry, Fault, Kind, Part, PartKind, ProcedureKind, Sequence, Shelf};
use crate::render::place::Place;
use crate::render::views::front::{Complaint, Front, Group, Run, Stop};
use crate::render::views::pieces::Link;

pub(super) fn draft(place: Place<'_>) -> Draft {
    let guide = place.guide;
    let tasks = guide.procedures.iter().filter(|procedure| procedure.kind.value != ProcedureKind::Repair);
    let front = Front {
        intro_html: place.blocks_opt(guide.edition.about.as_ref()),
        complaints: guide.faults.iter().map(|fault| complaint(place, fault)).collect(),
        sequences: guide.sequences.iter().map(|sequence| run(place, sequence)).collect(),
        parts: part_groups(place),
        hoses: links(place, &guide.circuits),
        readings: links(place, &guide.readings),
        wiring: links(place, &guide.wiring),
        tasks: tasks.map(|task| place.link(Kind::Procedure, task.id())).collect(),
        notes: links(place, &guide.notes),
        card: guide.card.as_ref().map(|card| Link { href: place.href("card.html"), text: card.title.value.clone() }),
    };
    let mut draft = guide_draft(place, "index.html", "front", guide.edition.title.value.clone(), &front);
    draft.sheet.kind_word = place.word("home");
    draft
}

fn links<T: Entry>(place: Place<'_>, shelf: &Shelf<T>) -> Vec<Link> {
    shelf.iter().map(|entry| place.link(T::KIND, entry.id())).collect()
}

fn complaint(place: Place<'_>, fault: &Fault) -> Complaint {
    Complaint {
        link: place.link(Kind::Fault, fault.id()),
        codes: fault.codes.iter().map(|code| code.value.clone()).collect(),
        also_said: fault.also_said.iter().map(|said| said.value.clone()).collect(),
        minutes: super::fault::expected_minutes(place, fault),
    }
}

fn run(place: Place<'_>, sequence: &Sequence) -> Run {
    let link = place.link(Kind::Sequence, sequence.id());
    let stop = |(index, step): (usize, &crate::model::SequenceStep)| Stop {
        number: super::number(index),
        link: Link { href: format!("{}#step-{}", link.href, step.id.value), text: step.says.value.clone() },
    };
    Run { steps: sequence.steps.iter().enumerate().map(stop).collect(), link: link.clone() }
}

fn part_groups(place: Place<'_>) -> Vec<Group> {
    let mut groups: BTreeMap<PartKind, Vec<&Part>> = BTreeMap::new();
    for part in &place.guide.parts {
        groups.entry(part.kind.value).or_default().push(part);
    }
    let mut named: Vec<Group> = Vec::new();
    for (kind, parts) in groups {
        let (name, links) =
            (place.word(super::part::group_word(kind)), parts.iter().map(|part| place.link(Kind::Part, part.id())));
        match named.iter_mut().find(|known| known.name == name) {
            Some(known) => known.links.extend(links),
            None => named.push(Group { name, links: links.collect() }),
        }
    }
    named
}
