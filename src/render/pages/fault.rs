//! Fault pages: the walk as linked steps, then causes, repairs, minutes and tools.

use std::collections::BTreeSet;

use num_rational::Ratio;

use super::{Draft, entry_draft, kind_word, number};
use crate::model::{Check, Entry, Fault, Kind, Occurrence};
use crate::reason::fault_plans::tenths_of_minutes;
use crate::reason::plan::{Rule, Times};
use crate::reason::walk::{self, Ending, To, Walk, WalkStep};
use crate::reason::{FaultPlan, problem_of};
use crate::render::drawings::plan as chart;
use crate::render::place::{Place, minutes};
use crate::render::views::fault as view;
use crate::render::views::pieces::{Figure, Link, Repair};

pub(super) fn draft<'g>(place: Place<'g>, fault: &'g Fault) -> Draft {
    let plan = place.facts.plans.get(fault.id());
    let walk = plan.map(|plan| walk::of(fault, plan)).unwrap_or_default();
    let page = Page { place, fault, plan, walk: &walk, shares: shares(place, fault) };
    entry_draft(place, fault, "fault", kind_word(place, Kind::Fault), &page.view())
}

/// Minutes to find the cause, expected, for lists of faults.
pub(super) fn expected_minutes(place: Place<'_>, fault: &Fault) -> u32 {
    let plan = place.facts.plans.get(fault.id());
    plan.map_or(0, |plan| whole_minutes(plan.plan.expected))
}

fn whole_minutes(seconds: Ratio<u128>) -> u32 {
    u32::try_from((seconds / Ratio::from_integer(60)).round().to_integer()).unwrap_or(u32::MAX)
}

/// Minutes with one decimal place.
fn one_decimal(seconds: Ratio<u128>) -> String {
    let tenths = tenths_of_minutes(seconds);
    format!("{}.{}", tenths / 10, tenths % 10)
}

/// Minutes as exact as seconds allow: "3", "2.5", or "1:20" where no short decimal says it.
fn exact(seconds: u64) -> String {
    match (seconds / 60, seconds % 60) {
        (whole, 0) => whole.to_string(),
        (whole, rest) if rest % 6 == 0 => format!("{whole}.{}", rest / 6),
        (whole, rest) => format!("{whole}:{rest:02}"),
    }
}

struct Page<'g, 'w> {
    place: Place<'g>,
    fault: &'g Fault,
    plan: Option<&'g FaultPlan>,
    walk: &'w Walk,
    /// Likelihood of each cause, in whole percent.
    shares: Vec<u32>,
}

fn shares(place: Place<'_>, fault: &Fault) -> Vec<u32> {
    let weights = problem_of::weights(place.guide, fault);
    let all: u128 = weights.iter().sum::<u128>().max(1);
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
            plan: self.chart(),
            based_on: self.based_on(),
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
            state: self.state(verify.and_then(|verify| verify.state.as_ref()), None),
            cautions: self.place.cautions(verify.map(|verify| verify.cautions.as_slice())),
            minutes: exact(u64::from(verify.and_then(|verify| verify.seconds.as_ref()).map_or(0, |it| it.value))),
            answers,
        }
    }

    fn state(
        &self,
        link: Option<&crate::model::Link<crate::model::State>>,
        seconds: Option<u64>,
    ) -> Option<view::State> {
        let state = self.place.guide.states.get(&link?.value)?;
        Some(view::State {
            name: state.name.value.clone(),
            says: state.says.as_ref().map(|says| self.place.plain(says)).unwrap_or_default(),
            minutes: seconds.filter(|seconds| *seconds > 0).map(exact),
        })
    }

    fn check(&self, index: usize, step: &WalkStep) -> view::Check {
        let Some(check) = self.fault.checks.get(step.check) else { return view::Check::default() };
        let place = self.place;
        let accesses = self.accesses(check);
        let cautions = accesses.iter().map(|access| access.cautions.as_slice()).chain([check.cautions.as_slice()]);
        view::Check {
            anchor: format!("step-{}", index + 1),
            number: number(index),
            ask: check.ask.value.clone(),
            how_html: place.blocks_opt(check.how.as_ref()),
            minutes: exact(u64::from(check.seconds.value)),
            in_all: exact(step.seconds),
            state: self.state_of(check, &accesses, step),
            make_safe: self.make_safe(check, &accesses, step),
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

    /// The state the check needs, with what is left of the step's time for getting there.
    fn state_of(&self, check: &Check, accesses: &[&crate::model::Access], step: &WalkStep) -> Option<view::State> {
        let link = check.state.as_ref().or(accesses.iter().find_map(|access| access.state.as_ref()));
        let opens = step
            .opens
            .iter()
            .filter_map(|place| self.fault.accesses.get(*place))
            .map(|access| u64::from(access.seconds.value));
        let safe =
            step.make_safe.iter().filter_map(|task| self.plan?.asked.problem.tasks.get(*task)).map(|task| task.seconds);
        let known: u64 = opens.chain(safe).sum::<u64>() + u64::from(check.seconds.value);
        self.state(link, step.change_to.map(|_| step.seconds.saturating_sub(known)))
    }

    fn make_safe(&self, check: &Check, accesses: &[&crate::model::Access], step: &WalkStep) -> Vec<view::MakeSafe> {
        let links = accesses.iter().flat_map(|access| &access.make_safe).chain(&check.make_safe);
        let due: Vec<&str> =
            step.make_safe.iter().filter_map(|task| self.plan?.asked.tasks.get(*task)).map(String::as_str).collect();
        let mut seen = BTreeSet::new();
        let mut view = Vec::new();
        for link in links.filter(|link| seen.insert(link.as_str())) {
            let seconds = self.place.guide.procedures.get(&link.value).map_or(0, |it| u64::from(it.seconds.value));
            view.push(view::MakeSafe {
                link: self.place.procedure(link),
                minutes: exact(seconds),
                done: !due.contains(&link.as_str()),
            });
        }
        view
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
        let due = step.opens.iter().filter_map(|place| self.fault.accesses.get(*place));
        let paid = !due.into_iter().any(|open| open.id.value == access.id.value);
        let minutes = exact(u64::from(access.seconds.value));
        view::Access { action: access.action.value.clone(), minutes, paid }
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

    fn possible(&self, causes: &[(usize, u128)]) -> Vec<view::Possible> {
        let all: u128 = causes.iter().map(|(_, weight)| weight).sum::<u128>().max(1);
        let mut known: Vec<(u128, &str)> = causes
            .iter()
            .filter_map(|(cause, weight)| Some((*weight, self.fault.causes.get(*cause)?.says.value.as_str())))
            .collect();
        known.sort_by_key(|(weight, _)| std::cmp::Reverse(*weight));
        let shown = |(weight, says): (u128, &str)| view::Possible {
            says: says.to_owned(),
            share: percent(u32::try_from((weight * 200 + all) / (all * 2)).unwrap_or(100)),
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
            To::Nowhere => (view::Leads::Escalation, "#escalation".to_owned(), self.place.word("none_left"), None),
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
        let repairs: Vec<(&str, u64)> = ending
            .repairs
            .iter()
            .filter_map(|repair| self.plan?.asked.problem.repairs.get(*repair))
            .map(|repair| (repair.id.as_str(), repair.seconds))
            .collect();
        let reasons = causes.iter().filter_map(|cause| cause.by_elimination.as_ref());
        let reason = reasons.map(|reason| format!("<p>{}</p>", crate::render::markdown::escaped(reason)));
        view::Ending {
            anchor: format!("found-{}", index + 1),
            says: self.ending_says(index),
            inferred: !ending.shown,
            cured: ending.cured,
            back: ending.back.map(|back| self.back(back)),
            in_turn: ending.repairs.len() > 1,
            how_html: if ending.shown { String::new() } else { reason.collect() },
            repairs: repairs.iter().filter_map(|(id, _)| self.repair(id)).collect(),
            minutes: minutes(
                u32::try_from(repairs.iter().map(|(_, seconds)| seconds).sum::<u64>()).unwrap_or(u32::MAX),
            ),
            brings: causes.iter().flat_map(|cause| &cause.brings).map(|link| self.brought(link.as_str())).collect(),
        }
    }

    /// The way back when a check on the way was wrong.
    fn back(&self, back: walk::Back) -> view::Answer {
        let ask = self.fault.checks.get(back.check).map(|check| check.ask.value.clone()).unwrap_or_default();
        let values = [("check", ask), ("right", back.right.to_string()), ("there", back.there.to_string())];
        self.lead(&self.place.said("did_not_cure", &values), back.to, None)
    }

    fn repair(&self, id: &str) -> Option<Repair> {
        let procedure = self.place.guide.procedures.find(id)?;
        Some(Repair { link: self.place.link(Kind::Procedure, id), tag: self.place.tag(procedure) })
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
            behind: self.behind(index),
            shown_by: self.shown_by(index),
            inferred: cause.by_elimination.as_ref().map(|reason| reason.value.clone()),
            repair: repair.map(|link| self.place.repair(link)).unwrap_or_default(),
            minutes: minutes(seconds),
        }
    }

    /// Where a likelihood comes from: the writer alone, or so many jobs, with the 90 % interval.
    fn behind(&self, cause: usize) -> String {
        let likelihoods = self.place.facts.records.of_fault(self.fault.id()).filter(|known| known.jobs > 0);
        let Some(likelihoods) = likelihoods else { return self.place.word("writer_only") };
        let Some(known) = likelihoods.causes.get(cause) else { return self.place.word("writer_only") };
        let whole = |share: f64| format!("{:.0}", share * 100.0);
        let values = [
            ("count", known.count.to_string()),
            ("jobs", likelihoods.jobs.to_string()),
            ("low", whole(known.interval.0)),
            ("high", whole(known.interval.1)),
        ];
        self.place.said("behind_jobs", &values)
    }

    fn based_on(&self) -> String {
        let jobs = self.place.facts.records.of_fault(self.fault.id()).map_or(0, |known| known.jobs);
        let opinion = crate::reason::records::opinion_jobs(self.place.guide);
        match jobs {
            0 => self.place.word("writers_shares"),
            jobs => {
                let values = [("opinion", opinion.to_string()), ("jobs", jobs.to_string())];
                self.place.said("opinion_and_jobs", &values)
            }
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
        let possible = |step: &WalkStep| step.possible.iter().any(|(known, _)| *known == cause);
        let steps = self.walk.steps.iter().enumerate().filter(|(_, step)| possible(step) && shows(step));
        let link = |(index, _)| Link {
            href: format!("#step-{}", index + 1),
            text: format!("{} {}", self.place.word("check"), index + 1),
        };
        steps.map(link).collect()
    }

    /// The plan as a flow chart.
    fn chart(&self) -> Option<Figure> {
        let ending = |index: usize| {
            let ending = self.walk.endings.get(index);
            let repairs = ending.into_iter().flat_map(|ending| &ending.repairs);
            let repairs = repairs.filter_map(|repair| self.plan?.asked.problem.repairs.get(*repair));
            let titles = repairs.filter_map(|repair| self.place.guide.procedures.find(&repair.id));
            let titles: Vec<&str> = titles.map(|procedure| procedure.title.value.as_str()).collect();
            format!("{}: {}", self.ending_says(index), titles.join(", "))
        };
        let other_fault = |check: usize, answer: usize| {
            let answer = self.fault.checks.get(check).and_then(|check| check.answers.get(answer));
            let link = answer.and_then(|answer| answer.go_to.as_ref());
            let link = link.map(|link| self.place.link(Kind::Fault, link.as_str())).unwrap_or_default();
            (link.href, link.text)
        };
        let words = chart::Words {
            title: self.place.word("chart_says"),
            ending: &ending,
            other_fault: &other_fault,
            ask: self.place.word("none_left"),
        };
        let svg_html = chart::chart(self.fault, self.walk, &words)?;
        let caption_html = crate::render::markdown::escaped(&self.place.word("chart_says"));
        Some(Figure { svg_html, caption_html })
    }

    fn minutes(&self) -> view::Minutes {
        let Some(planned) = self.plan else { return view::Minutes::default() };
        let Times { find, repair } = crate::reason::plan::times(&planned.asked.problem, &planned.plan.tree);
        let whole = |seconds: u64| minutes(u32::try_from(seconds).unwrap_or(u32::MAX));
        view::Minutes {
            expected: one_decimal(planned.plan.expected),
            median: whole(find.median),
            ninetieth: whole(find.ninetieth),
            worst: whole(find.worst),
            repair_expected: one_decimal(repair.expected),
            repair_worst: whole(repair.worst),
            exact: planned.plan.exact,
            at_least: one_decimal(planned.plan.lower_bound),
            plain: self.plain_orders(planned),
        }
    }

    /// What the plain orders would take; nothing where they cannot be worked out.
    fn plain_orders(&self, planned: &FaultPlan) -> Vec<view::Plain> {
        let orders = crate::reason::plan::plain_orders(&planned.asked.problem).unwrap_or_default();
        let plain = |order: crate::reason::plan::Plain| {
            let best = planned.plan.expected.max(Ratio::new(1, 1_000_000));
            let more = ((order.expected / best) * Ratio::from_integer(100)).round().to_integer();
            view::Plain {
                name: self.place.word(match order.rule {
                    Rule::QuickAndProbable => "plain_quick_and_probable",
                    Rule::LikelihoodPerSecond => "plain_likelihood_per_second",
                    Rule::CheapestFirst => "plain_cheapest",
                    Rule::MostLikelyFirst => "plain_most_likely",
                }),
                expected: one_decimal(order.expected),
                more: format!("+{}\u{a0}%", more.saturating_sub(100)),
            }
        };
        orders.into_iter().map(plain).collect()
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
