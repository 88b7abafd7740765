//! `torque-out-of-scale`

use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

use num_traits::CheckedDiv;
use regex::Regex;

use crate::inspect::spoken::{thread_in, thread_of_bolt};
use crate::inspect::{Rule, Subject};
use crate::model::quantity::{Dimension, Exact, Quantity};
use crate::model::{Entry, Guide, Link, Procedure, Sourced, Step, Variant};
use crate::reason::{Machine, holds, machines};
use crate::report::{Finding, Level, RuleInfo};

const NAME: &str = "torque-out-of-scale";

pub(super) static RULE: Rule = Rule {
    info: RuleInfo {
        name: NAME,
        family: "procedures",
        level: Level::Warning,
        matters: "A bolt that is torn or a fitting that is loose lets go under load or pressure, beside the one who tightened it.",
        page: include_str!("torque-out-of-scale.md"),
        softenable: true,
    },
    check: Some(check),
};

/// What a thread bears at most: 0.15 N m for each cubic millimetre of its diameter's cube. Reckoned from the proof loads of
/// ISO 898-1, class 12.9, and a nut factor of 0.2, which come to 0.11 to 0.12; all from memory, the standard was not opened.
const THREAD: f64 = 0.15;

/// No hand tool of a workshop tightens beyond, or this finely; common practice, no source.
const HAND: std::ops::RangeInclusive<f64> = 0.02..=3000.0;

/// "2 to 20 N m", "10-60 N m".
static RANGES: LazyLock<Option<Regex>> =
    LazyLock::new(|| Regex::new(r"(?i)([0-9.]+)\s*(?:to|-|–|\.\.\.?|…)\s*([0-9.]+)\s*([a-zµ·\-]+(?: ?[a-z]+)?)").ok());

type Torque = Sourced<Quantity>;

fn check(subject: &Subject<'_>, found: &mut Vec<Finding>) {
    let guide = subject.guide;
    for torque in guide.parts.iter().flat_map(|part| &part.torque) {
        found.extend(absurd(torque));
    }
    for part in &guide.parts {
        let thread = thread_of_hoses(guide, part.id());
        found.extend(part.torque.iter().filter_map(|torque| torn(torque, thread?)));
    }
    let machines = machines(guide);
    for (procedure, step) in steps(guide) {
        for torque in &step.torque {
            let action = step.action.as_ref().map_or("", |action| action.markdown.as_str());
            let thread = thread_of_bolt(action);
            let wrong = absurd(torque)
                .or_else(|| torn(torque, thread?))
                .or_else(|| beyond_tools(procedure, torque))
                .or_else(|| noughts_from_part(guide, &machines, (procedure, step), torque));
            found.extend(wrong);
        }
    }
    told_twice(guide, &machines, found);
}

fn steps(guide: &Guide) -> impl Iterator<Item = (&Procedure, &Step)> {
    guide.procedures.iter().flat_map(|procedure| procedure.steps.iter().map(move |step| (procedure, step)))
}

fn finding(torque: &Torque, wrong: String) -> Finding {
    let remedy = "Look at decimal point, noughts and unit in the source. If the value is right, soften the rule for this entry \
                  and say so.";
    Finding::new(NAME, torque.value.span, wrong, remedy)
}

fn absurd(torque: &Torque) -> Option<Finding> {
    let value = torque.value.to_f64();
    let wrong = format!(
        "A torque of {} is outside what a workshop tightens by hand ({} to {} N m).",
        torque.value.written(),
        HAND.start(),
        HAND.end()
    );
    // What is not above nought is impossible, which another rule says.
    (!HAND.contains(&value) && value > 0.0 && torque.value.dimension() == Dimension::Torque)
        .then(|| finding(torque, wrong))
}

fn torn(torque: &Torque, thread: u32) -> Option<Finding> {
    let most = THREAD * f64::from(thread).powi(3);
    let wrong = format!(
        "{} would tear a thread M{thread}: the strongest bolts of that size take about {most:.0} N m.",
        torque.value.written()
    );
    (torque.value.to_f64() > most).then(|| finding(torque, wrong))
}

/// The largest thread of the hoses that are of a part; nothing where one of their fittings is no metric thread.
fn thread_of_hoses(guide: &Guide, part: &str) -> Option<u32> {
    let hoses = guide.circuits.iter().flat_map(|circuit| &circuit.hoses);
    let own = hoses.filter(|hose| hose.part.as_ref().is_some_and(|link| link.as_str() == part));
    let threads: Option<Vec<u32>> = own.map(|hose| thread_in(&hose.fitting)).collect();
    threads?.into_iter().max()
}

/// A torque that no torque wrench of the procedure reaches. A torque tool without a range may reach anything.
fn beyond_tools(procedure: &Procedure, torque: &Torque) -> Option<Finding> {
    let tools: Vec<&str> = procedure.tools.iter().map(|tool| tool.value.as_str()).collect();
    let tools = tools.into_iter().filter(|tool| tool.to_lowercase().contains("torque"));
    let ranges: Option<Vec<_>> = tools.map(range_in).collect();
    let ranges = ranges.filter(|ranges| !ranges.is_empty())?;
    let value = torque.value.base();
    let reached = ranges.iter().any(|(least, most)| *least <= value && value <= *most);
    let wrong = format!("The step asks for {}; no torque wrench in `tools` reaches it.", torque.value.written());
    (!reached).then(|| finding(torque, wrong))
}

/// From and to of a torque tool.
fn range_in(tool: &str) -> Option<(Exact, Exact)> {
    let found = RANGES.as_ref()?.captures(tool)?;
    let unit = found.get(3)?.as_str().trim();
    let end = |group: usize| Quantity::parse(&format!("{} {unit}", found.get(group)?.as_str())).ok();
    let (least, most) = (end(1)?, end(2)?);
    (least.dimension() == Dimension::Torque).then(|| (least.base(), most.base()))
}

/// A torque that has the figures of a part touched there, but some noughts more or fewer, and that no touched part has.
fn noughts_from_part(
    guide: &Guide,
    machines: &[Machine],
    (procedure, step): (&Procedure, &Step),
    torque: &Torque,
) -> Option<Finding> {
    let touched = step.touches.all().chain(procedure.touches.all()).filter_map(|link| guide.parts.get(link));
    let known: Vec<_> = touched.flat_map(|part| part.torque.iter().map(move |it| (part, it))).collect();
    if known.iter().any(|(_, other)| other.value.base() == torque.value.base()) {
        return None;
    }
    let (ours, whole) = (torque.variants.as_deref(), procedure.head.applies_to.as_deref());
    let (part, other) = known.into_iter().find(|(part, other)| {
        let variants = [ours, whole, other.variants.as_deref(), part.head.applies_to.as_deref()];
        is_noughts_off(torque.value.base(), other.value.base()) && machines.iter().any(|it| hold(&variants, it))
    })?;
    let wrong =
        format!("The torque here is {}, that of `{}` is {}.", torque.value.written(), part.id(), other.value.written());
    Some(finding(torque, wrong).with(other.value.span, "the torque of the part"))
}

/// True where each of the lists of variants holds for the machine.
fn hold(variants: &[Option<&[Link<Variant>]>], machine: &Machine) -> bool {
    variants.iter().all(|variants| holds(*variants, machine))
}

/// True where one is the other with one, two or three noughts more.
fn is_noughts_off(one: Exact, other: Exact) -> bool {
    let zero = Exact::from_integer(0);
    let steps = [10, 100, 1000].map(Exact::from_integer);
    one > zero && other > zero && {
        let times = if one > other { one.checked_div(&other) } else { other.checked_div(&one) };
        times.is_some_and(|times| steps.contains(&times))
    }
}

/// What a step says it tightens: its words, the place of the source, the parts it touches.
type Told<'g> = (String, String, BTreeSet<&'g str>);

/// Steps of different procedures that say the same, for one machine, with another torque.
fn told_twice(guide: &Guide, machines: &[Machine], found: &mut Vec<Finding>) {
    let mut told: BTreeMap<(Told<'_>, &Machine), BTreeMap<&str, Vec<&Torque>>> = BTreeMap::new();
    for (procedure, step) in steps(guide) {
        for torque in &step.torque {
            let Some(key) = key(procedure, step, torque) else { continue };
            let variants = [torque.variants.as_deref(), procedure.head.applies_to.as_deref()];
            for machine in machines.iter().filter(|it| hold(&variants, it)) {
                told.entry((key.clone(), machine)).or_default().entry(procedure.id()).or_default().push(torque);
            }
        }
    }
    let mut said = BTreeSet::new();
    for by_procedure in told.into_values() {
        // A procedure that gives two torques in the same words tightens in rounds.
        let steady = by_procedure.into_values().filter_map(|own| {
            let (first, rest) = own.split_first()?;
            rest.iter().all(|it| is_same(it, first)).then_some(*first)
        });
        let torques: Vec<&Torque> = steady.collect();
        found.extend(odd_one(&torques).filter(|odd| said.insert(odd.span)));
    }
}

/// Nothing where the step is silent on one of them.
fn key<'g>(procedure: &'g Procedure, step: &'g Step, torque: &Torque) -> Option<Told<'g>> {
    let action = step.action.as_ref()?.markdown.trim().to_lowercase();
    let source = torque.source.as_ref()?;
    let place = format!("{}, {}", source.source.value, source.place.as_ref()?);
    let own = if step.touches.all().next().is_some() { &step.touches } else { &procedure.touches };
    let parts: BTreeSet<&str> = own.all().map(|link| link.as_str()).collect();
    (!action.is_empty() && !parts.is_empty()).then_some((action, place, parts))
}

fn is_same(one: &Torque, other: &Torque) -> bool {
    one.value.base() == other.value.base()
}

/// The torque that differs from the one most often told; of two, the later one.
fn odd_one(torques: &[&Torque]) -> Option<Finding> {
    let mut counts: BTreeMap<Exact, usize> = BTreeMap::new();
    torques.iter().for_each(|it| *counts.entry(it.value.base()).or_default() += 1);
    let usual = torques.iter().rev().max_by_key(|it| counts.get(&it.value.base()))?;
    let odd = torques.iter().rfind(|it| !is_same(it, usual))?;
    let wrong = format!(
        "The torque here is {}; a step of the same words, parts and source has {}.",
        odd.value.written(),
        usual.value.written()
    );
    Some(finding(odd, wrong).with(usual.value.span, "the other step"))
}
