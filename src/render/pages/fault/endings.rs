//! Where the walk ends: what was found, and the repair that follows.

use super::Page;
use crate::model::{Cause, Kind, Procedure};
use crate::reason::walk::{Back, Ending};
use crate::render::markdown::escaped;
use crate::render::pages::procedure;
use crate::render::place::minutes;
use crate::render::views::fault as view;
use crate::render::views::pieces::{Link, Repair};

impl Page<'_, '_> {
    pub(super) fn ending_says(&self, end: usize) -> String {
        let causes = self.walk.endings.get(end).map(|ending| &ending.causes);
        let says = causes.into_iter().flatten().filter_map(|cause| self.fault.causes.get(*cause));
        says.map(|cause| cause.says.value.clone()).collect::<Vec<_>>().join(&format!(" {} ", self.place.word("or")))
    }

    pub(super) fn ending(&self, index: usize, ending: &Ending) -> view::Ending {
        let causes: Vec<&Cause> = ending.causes.iter().filter_map(|cause| self.fault.causes.get(*cause)).collect();
        let repairs: Vec<(&str, u64)> = ending
            .repairs
            .iter()
            .filter_map(|repair| self.plan?.asked.problem.repairs.get(*repair))
            .map(|repair| (repair.id.as_str(), repair.seconds))
            .collect();
        let reasons = causes.iter().filter_map(|cause| cause.by_elimination.as_ref());
        let reason = reasons.map(|reason| format!("<p>{}</p>", escaped(reason)));
        view::Ending {
            anchor: format!("found-{}", index + 1),
            says: self.ending_says(index),
            inferred: !ending.shown,
            cured: ending.cured,
            back: ending.back.map(|back| self.back(back)),
            in_turn: ending.repairs.len() > 1,
            how_html: if ending.shown { String::new() } else { reason.collect() },
            repairs: repairs.iter().filter_map(|(id, _)| self.repair(index, id)).collect(),
            minutes: minutes(
                u32::try_from(repairs.iter().map(|(_, seconds)| seconds).sum::<u64>()).unwrap_or(u32::MAX),
            ),
            undo: self.undo_at_end(index),
            brings: causes.iter().flat_map(|cause| &cause.brings).map(|link| self.brought(link.as_str())).collect(),
        }
    }

    /// The way back when a check on the way was wrong.
    fn back(&self, back: Back) -> view::Answer {
        let ask = self.fault.checks.get(back.check).map(|check| check.ask.value.clone()).unwrap_or_default();
        let values = [("check", ask)];
        self.lead(&self.place.said("did_not_cure", &values), back.to, None)
    }

    fn repair(&self, ending: usize, id: &str) -> Option<view::RepairSheet> {
        let (place, procedure) = (self.place, self.place.guide.procedures.find(id)?);
        let repairs = self.plan.map(|plan| plan.asked.problem.repairs.as_slice()).unwrap_or_default();
        let offers = |ending: &Ending| ending.repairs.iter().any(|at| repairs.get(*at).is_some_and(|it| it.id == id));
        let own = view::RepairSheet {
            id: id.to_owned(),
            repair: Repair { link: place.link(Kind::Procedure, id), tag: place.tag(procedure) },
            minutes: minutes(procedure.seconds.value),
            known: self.walk.endings.iter().take(ending).any(offers),
            ..view::RepairSheet::default()
        };
        if own.known {
            return Some(own);
        }
        let again = self.again(procedure);
        Some(view::RepairSheet {
            cautions: place.cautions([procedure.cautions.as_slice()]),
            parts: procedure::take(place, procedure),
            again_at: if procedure.check_again.is_empty() { "test" } else { "again" }.to_owned(),
            again,
            ..own
        })
    }

    /// What is checked again after a repair and how it is tried, each once, in few words.
    fn again(&self, procedure: &Procedure) -> Vec<String> {
        let place = self.place;
        let test = procedure.function_test.as_ref().and_then(|test| test.procedure.as_ref());
        let links = procedure::check_after(place, procedure).into_iter().chain(test.map(|link| place.procedure(link)));
        let mut again: Vec<String> = Vec::new();
        for text in links.map(|link| link.text).chain(procedure::check_after_says(procedure)) {
            if !again.contains(&text) {
                again.push(text);
            }
        }
        again
    }

    /// A brought cause: of this fault, or as `fault/cause` of another.
    pub(super) fn brought(&self, id: &str) -> Link {
        let (fault, cause, page) = match id.split_once('/') {
            Some((fault, cause)) => {
                (self.place.guide.faults.find(fault), cause, self.place.link(Kind::Fault, fault).href)
            }
            None => (Some(self.fault), id, String::new()),
        };
        let text = fault.and_then(|fault| fault.causes.iter().find(|known| known.id.value == cause));
        let text = text.map_or(id.to_owned(), |cause| cause.says.value.clone());
        Link { href: format!("{page}#cause-{cause}"), text }
    }
}
