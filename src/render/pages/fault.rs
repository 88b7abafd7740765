//! Fault pages: the walk as linked steps, then causes, repairs, minutes and tools.

use std::collections::BTreeSet;

use super::{Draft, entry_draft, kind_word, number};
use crate::model::{Check, Entry, Fault, Kind, Likelihood, Occurrence};
use crate::reason::walk::{self, Causes, Ending, To, Walk, WalkStep};
use crate::render::place::{Place, minutes};
use crate::render::views::fault as view;
use crate::render::views::pieces::{Link, Repair};

pub(super) fn draft<'g>(place: Place<'g>, fault: &'g Fault) -> Draft {
    let walk = walk::in_writers_order(fault);
    let page = Page { place, fault, walk: &walk, shares: shares(place, fault) };
    entry_draft(place, fault, "fault", kind_word(place, Kind::Fault), &page.view())
}

/// Minutes of all checks together: the most that the walk can take.
pub(super) fn expected_minutes(fault: &Fault) -> u32 {
    minutes(fault.checks.iter().map(|check| check.seconds.value).sum())
}

struct Page<'g, 'w> {
    place: Place<'g>,
    fault: &'g Fault,
    walk: &'w Walk,
    /// Likelihood of each cause, in whole percent.
    shares: Vec<u32>,
}

fn shares(place: Place<'_>, fault: &Fault) -> Vec<u32> {
    let weight = |cause: &crate::model::Cause| match &cause.likelihood {
        Some(Likelihood::Share(share)) => share.value,
        Some(Likelihood::Word(word)) => {
            place.guide.likelihood_words.get(&word.value).map_or(0, |word| word.share.value)
        }
        None => 0,
    };
    let weights: Vec<u64> = fault.causes.iter().map(|cause| u64::from(weight(cause))).collect();
    let all: u64 = weights.iter().sum::<u64>().max(1);
    weights.iter().map(|weight| u32::try_from((weight * 200 + all) / (all * 2)).unwrap_or(100)).collect()
}

impl Page<'_, '_> {
    fn view(&self) -> view::Fault {
        let place = self.place;
        view::Fault {
            also_said: self.fault.also_said.iter().map(|said| said.value.clone()).collect(),
            codes: self.codes(),
            constancy: Some(place.word(match self.fault.occurs {
                Occurrence::Constant => "constant",
                Occurrence::Intermittent => "intermittent",
            })),
            cautions: place.cautions([self.fault.cautions.as_slice(), place.guide.cautions.as_slice()]),
            verify: self.verify(),
            checks: self.walk.steps.iter().enumerate().map(|(index, step)| self.check(index, step)).collect(),
            endings: self.walk.endings.iter().enumerate().map(|(index, end)| self.ending(index, end)).collect(),
            causes: (0..self.fault.causes.len()).map(|cause| self.cause(cause)).collect(),
            minutes: self.minutes(),
            tools: self.tools(),
            parts: self.parts(),
            plan: None,
            based_on: place.word("writers_shares"),
            bulletins: place.bulletins(&self.fault.head),
            related: place.mentioned_by(Kind::Fault, self.fault.id(), &[Kind::Fault, Kind::Note, Kind::Sequence]),
            sources: Vec::new(),
        }
    }

    fn codes(&self) -> Vec<view::Code> {
        let code = |code: &crate::text::Located<String>| view::Code { code: code.value.clone(), says: String::new() };
        self.fault.codes.iter().map(code).collect()
    }

    fn verify(&self) -> view::Verify {
        let verify = self.fault.verify.as_ref();
        let mut answers = vec![self.lead(&self.place.word("it_is_so"), self.walk.start.unwrap_or(To::Nowhere), None)];
        answers.push(view::Answer {
            says: self.place.word("it_is_not_so"),
            leads: view::Leads::Escalation,
            href: "#escalation".to_owned(),
            to: verify
                .and_then(|verify| verify.otherwise.as_ref())
                .map_or(self.place.word("not_confirmed"), |otherwise| self.place.plain(otherwise)),
            number: None,
        });
        view::Verify {
            anchor: "verify".to_owned(),
            how_html: self.place.blocks_opt(verify.map(|verify| &verify.says)),
            minutes: minutes(verify.and_then(|verify| verify.seconds.as_ref()).map_or(0, |seconds| seconds.value)),
            answers,
        }
    }

    fn check(&self, index: usize, step: &WalkStep) -> view::Check {
        let Some(check) = self.fault.checks.get(step.check) else { return view::Check::default() };
        let place = self.place;
        let accesses = self.accesses(check);
        let cautions = accesses.iter().map(|access| access.cautions.as_slice()).chain([check.cautions.as_slice()]);
        let make_safe = accesses.iter().flat_map(|access| &access.make_safe).chain(&check.make_safe);
        view::Check {
            anchor: format!("step-{}", index + 1),
            number: number(index),
            ask: check.ask.value.clone(),
            how_html: place.blocks_opt(check.how.as_ref()),
            minutes: minutes(check.seconds.value),
            state: place.state(check.state.as_ref()),
            make_safe: without_doubles(make_safe.map(|link| place.procedure(link))),
            access: accesses.iter().map(|access| self.access(access, step)).collect(),
            tools: self.tools_of(check),
            limit: self.limit(check),
            cautions: place.cautions(cautions),
            picture: None,
            pinned: check.first.then(|| place.word("looked_at_first")),
            possible: self.possible(&step.possible),
            answers: self.answers(check, step),
        }
    }

    /// The accesses of a check, those they need first, each once.
    fn accesses(&self, check: &Check) -> Vec<&crate::model::Access> {
        let mut wanted: Vec<&str> = check.access.iter().map(|link| link.as_str()).collect();
        let mut found: Vec<&crate::model::Access> = Vec::new();
        while let Some(id) = wanted.pop() {
            let access = self.fault.accesses.iter().find(|access| access.id.value == id);
            let Some(access) = access.filter(|access| !found.iter().any(|known| known.id.value == access.id.value))
            else {
                continue;
            };
            found.push(access);
            wanted.extend(access.needs.iter().map(|link| link.as_str()));
        }
        found.reverse();
        found
    }

    fn access(&self, access: &crate::model::Access, step: &WalkStep) -> view::Access {
        let paid = step
            .asked
            .iter()
            .filter_map(|check| self.fault.checks.get(*check))
            .any(|before| self.accesses(before).iter().any(|open| open.id.value == access.id.value));
        view::Access { action: access.action.value.clone(), minutes: minutes(access.seconds.value), paid }
    }

    fn tools_of(&self, check: &Check) -> Vec<String> {
        let accesses = self.accesses(check);
        let tools = accesses.iter().flat_map(|access| &access.tools).chain(&check.tools);
        let tools: BTreeSet<String> = tools.map(|tool| tool.value.clone()).collect();
        tools.into_iter().collect()
    }

    fn limit(&self, check: &Check) -> Option<view::Limit> {
        let reading = self.place.guide.readings.get(&check.reading.as_ref()?.value)?;
        let act = reading.bands.iter().find(|band| band.verdict.value == crate::model::Verdict::Act)?;
        let edge = act.from.as_ref().or(act.to.as_ref())?;
        let says = self.place.word(if act.from.is_some() { "act_from" } else { "act_below" });
        Some(view::Limit {
            reading: Some(self.place.link(Kind::Reading, reading.id())),
            says,
            shown: self.place.shown(edge),
            source: self.place.source(act.source.as_ref()),
        })
    }

    fn possible(&self, causes: &Causes) -> Vec<view::Possible> {
        let all: u32 = causes.iter().filter_map(|cause| self.shares.get(*cause)).sum::<u32>().max(1);
        let mut known: Vec<(u32, &str)> = causes
            .iter()
            .filter_map(|cause| Some((*self.shares.get(*cause)?, self.fault.causes.get(*cause)?.says.value.as_str())))
            .collect();
        known.sort_by_key(|(share, _)| std::cmp::Reverse(*share));
        let shown = |(share, says): (u32, &str)| view::Possible {
            says: says.to_owned(),
            share: percent((share * 200 + all) / (all * 2)),
        };
        known.into_iter().map(shown).collect()
    }

    fn answers(&self, check: &Check, step: &WalkStep) -> Vec<view::Answer> {
        let answers = check.answers.iter().zip(&step.answers);
        let other = |answer: &crate::model::Answer| {
            answer.go_to.as_ref().map(|fault| self.place.link(Kind::Fault, fault.as_str()))
        };
        answers.map(|(answer, to)| self.lead(&answer.says.value, *to, other(answer))).collect()
    }

    fn lead(&self, says: &str, to: To, other: Option<Link>) -> view::Answer {
        let (leads, href, to, number) = match to {
            To::Step(step) => {
                let check = self.walk.steps.get(step).and_then(|step| self.fault.checks.get(step.check));
                let ask = check.map(|check| check.ask.value.clone()).unwrap_or_default();
                (view::Leads::Check, format!("#step-{}", step + 1), ask, Some(number(step)))
            }
            To::Ending(end) => (view::Leads::Ending, format!("#found-{}", end + 1), self.ending_says(end), None),
            To::OtherFault => {
                let link = other.unwrap_or_default();
                (view::Leads::Fault, link.href, link.text, None)
            }
            To::Nowhere => (view::Leads::Escalation, "#escalation".to_owned(), self.place.word("does_not_fit"), None),
        };
        view::Answer { says: says.to_owned(), leads, href, to, number }
    }

    fn ending_says(&self, end: usize) -> String {
        let causes = self.walk.endings.get(end).map(|ending| &ending.causes);
        let says = causes.into_iter().flatten().filter_map(|cause| self.fault.causes.get(*cause));
        says.map(|cause| cause.says.value.clone()).collect::<Vec<_>>().join(&format!(" {} ", self.place.word("or")))
    }

    fn ending(&self, index: usize, ending: &Ending) -> view::Ending {
        let causes: Vec<&crate::model::Cause> =
            ending.causes.iter().filter_map(|cause| self.fault.causes.get(*cause)).collect();
        let mut repairs: Vec<Repair> = Vec::new();
        let mut seconds = 0;
        for link in causes.iter().filter_map(|cause| cause.repair.as_ref()) {
            let repair = self.place.repair(link);
            if !repairs.iter().any(|known| known.link.href == repair.link.href) {
                seconds += self.place.guide.procedures.get(&link.value).map_or(0, |procedure| procedure.seconds.value);
                repairs.push(repair);
            }
        }
        let reasons = causes.iter().filter_map(|cause| cause.by_elimination.as_ref());
        let reason = reasons.map(|reason| format!("<p>{}</p>", crate::render::markdown::escaped(reason)));
        view::Ending {
            anchor: format!("found-{}", index + 1),
            says: self.ending_says(index),
            inferred: !ending.shown,
            how_html: if ending.shown { String::new() } else { reason.collect() },
            repairs,
            minutes: minutes(seconds),
            brings: causes.iter().flat_map(|cause| &cause.brings).map(|link| self.brought(link.as_str())).collect(),
        }
    }

    /// A brought cause: of this fault, or as `fault/cause` of another.
    fn brought(&self, id: &str) -> Link {
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

    fn cause(&self, index: usize) -> view::Cause {
        let Some(cause) = self.fault.causes.get(index) else { return view::Cause::default() };
        let repair = cause.repair.as_ref();
        let seconds =
            repair.and_then(|link| self.place.guide.procedures.get(&link.value)).map_or(0, |it| it.seconds.value);
        let share = self.shares.get(index).copied().unwrap_or(0);
        view::Cause {
            anchor: format!("cause-{}", cause.id.value),
            says: cause.says.value.clone(),
            share: percent(share),
            percent: share,
            behind: self.place.word("writer_only"),
            shown_by: self.shown_by(index),
            inferred: cause.by_elimination.as_ref().map(|reason| reason.value.clone()),
            repair: repair.map(|link| self.place.repair(link)).unwrap_or_default(),
            minutes: minutes(seconds),
        }
    }

    /// The steps with an answer that leaves only causes with this one's repair.
    fn shown_by(&self, cause: usize) -> Vec<Link> {
        let shows = |step: &WalkStep| {
            let check = self.fault.checks.get(step.check);
            check.is_some_and(|check| {
                (0..check.answers.len()).any(|answer| {
                    let leaves = walk::left_by(self.fault, check, answer);
                    leaves.contains(&cause) && walk::shared_repair(self.fault, &leaves).is_some()
                })
            })
        };
        let steps =
            self.walk.steps.iter().enumerate().filter(|(_, step)| step.possible.contains(&cause) && shows(step));
        let link = |(index, _)| Link {
            href: format!("#step-{}", index + 1),
            text: format!("{} {}", self.place.word("check"), index + 1),
        };
        steps.map(link).collect()
    }

    fn minutes(&self) -> view::Minutes {
        let all = expected_minutes(self.fault);
        view::Minutes { expected: all, median: all, ninetieth: all, worst: all, trade: None }
    }

    fn tools(&self) -> Vec<String> {
        let tools: BTreeSet<String> = self.fault.checks.iter().flat_map(|check| self.tools_of(check)).collect();
        tools.into_iter().collect()
    }

    fn parts(&self) -> Vec<Link> {
        let accesses = self.fault.accesses.iter().map(|access| &access.touches);
        let touched = self.fault.checks.iter().map(|check| &check.touches).chain(accesses);
        without_doubles(touched.flat_map(|touches| touches.all()).map(|link| self.place.part(link)))
    }
}

fn percent(share: u32) -> String {
    format!("{share}\u{a0}%")
}

/// Links without doubles, in the order met.
fn without_doubles(links: impl Iterator<Item = Link>) -> Vec<Link> {
    let mut seen = BTreeSet::new();
    links.filter(|link| seen.insert(link.href.clone())).collect()
}
