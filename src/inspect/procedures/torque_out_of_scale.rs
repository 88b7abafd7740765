//! `torque-out-of-scale`

use std::collections::BTreeMap;
use std::sync::LazyLock;

use num_traits::CheckedDiv;
use regex::Regex;

use crate::inspect::spoken::thread_in;
use crate::inspect::{Rule, Subject};
use crate::model::quantity::{Dimension, Exact, Quantity};
use crate::model::{Entry, Guide, Procedure, Sourced, Step};
use crate::reason::{holds, machines};
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

/// What a thread bears at most: 0.1 N m for each cubic millimetre of its diameter's cube. ISO 898-1 class 12.9 with the usual
/// friction comes to 0.085 (M6 17, M10 84, M16 350 N m; from memory, the standard was not opened).
const THREAD: f64 = 0.1;

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
    for (procedure, step) in steps(guide) {
        for torque in &step.torque {
            let action = step.action.as_ref().map_or("", |action| action.markdown.as_str());
            let thread = thread_in(action);
            let wrong = absurd(torque)
                .or_else(|| torn(torque, thread?))
                .or_else(|| beyond_tools(procedure, torque))
                .or_else(|| noughts_from_part(guide, procedure, step, torque));
            found.extend(wrong);
        }
    }
    told_twice(guide, found);
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
    let wrong = format!("A torque of {} is none that a workshop tightens by hand.", torque.value.written());
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
    let ranges: Option<Vec<_>> = tools.map(|tool| Some((tool, range_in(tool)?))).collect();
    let ranges = ranges?;
    let value = torque.value.base();
    let (tool, _) = ranges.first()?;
    let reached = ranges.iter().any(|(_, (least, most))| *least <= value && value <= *most);
    let wrong = format!("The step asks for {}, and the tool for it is \"{tool}\".", torque.value.written());
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

/// A torque that has the figures of a part touched there, but some noughts more or fewer.
fn noughts_from_part(guide: &Guide, procedure: &Procedure, step: &Step, torque: &Torque) -> Option<Finding> {
    let touched = step.touches.all().chain(procedure.touches.all());
    let parts = touched.filter_map(|link| guide.parts.get(link));
    let (part, other) = parts
        .flat_map(|part| part.torque.iter().map(move |it| (part, it)))
        .find(|(_, other)| is_noughts_off(torque.value.base(), other.value.base()))?;
    let wrong =
        format!("The torque here is {}, that of `{}` is {}.", torque.value.written(), part.id(), other.value.written());
    Some(finding(torque, wrong).with(other.value.span, "the torque of the part"))
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

/// Steps of the same words and the same source with torques far apart, on one machine.
fn told_twice(guide: &Guide, found: &mut Vec<Finding>) {
    let mut told: BTreeMap<(String, String), Vec<&Torque>> = BTreeMap::new();
    for (_, step) in steps(guide) {
        let action = step.action.as_ref().map(|action| action.markdown.trim().to_lowercase()).unwrap_or_default();
        for torque in &step.torque {
            let Some(place) =
                torque.source.as_ref().and_then(|it| Some(format!("{}, {}", it.source.value, it.place.as_ref()?)))
            else {
                continue;
            };
            told.entry((action.clone(), place)).or_default().push(torque);
        }
    }
    for torques in told.values() {
        found.extend(odd_one(guide, torques));
    }
}

/// The torque that differs from most of the others; of two, the later one.
fn odd_one(guide: &Guide, torques: &[&Torque]) -> Option<Finding> {
    let on_one_machine = |one: &Torque, other: &Torque| {
        let both = [one, other];
        machines(guide).iter().any(|machine| both.iter().all(|it| holds(it.variants.as_deref(), machine)))
    };
    let differs = |one: &&&Torque| {
        let others = torques.iter().filter(|other| other.value.span != one.value.span && on_one_machine(one, other));
        let (same, unlike): (Vec<&&Torque>, Vec<_>) = others.partition(|other| other.value.value == one.value.value);
        unlike.len() > same.len()
    };
    let odd = torques.iter().rfind(differs)?;
    let other = torques.iter().find(|other| other.value.value != odd.value.value)?;
    let wrong = format!(
        "The torque here is {}; a step of the same words and the same source has {}.",
        odd.value.written(),
        other.value.written()
    );
    Some(finding(odd, wrong).with(other.value.span, "the other step"))
}
