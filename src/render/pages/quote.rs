//! Quote sheets: likely and worst minutes of a complaint, the parts and the days at a depot.

use std::collections::BTreeSet;

use num_rational::Ratio;

use super::fault::{based_on, one_decimal, shares, shown_percent, tools};
use super::procedure::take;
use super::{Draft, guide_draft};
use crate::model::{Entry, Fault, Kind, Need};
use crate::reason::FaultPlan;
use crate::reason::plan::{Times, times};
use crate::render::place::{Place, minutes};
use crate::render::theme::WORK;
use crate::render::views::pieces::{Meanwhile, Repair};
use crate::render::views::quote as view;

/// The path of a fault's quote sheet.
pub(in crate::render) fn path(fault: &str) -> String {
    format!("quotes/{fault}.html")
}

pub(super) fn draft<'g>(place: Place<'g>, fault: &'g Fault) -> Draft {
    let word = place.word("quote_sheet");
    let title = format!("{word}: {}", fault.symptom.value);
    let mut draft = guide_draft(place, &path(fault.id()), "quote", title, &page(place, fault));
    draft.sheet.kind_word = word;
    draft.sheet.applies_to = place.applies_to(&fault.head);
    draft.sheet.scripts = ["edition.js", WORK].map(str::to_owned).to_vec();
    draft
}

fn page(place: Place<'_>, fault: &Fault) -> view::Quote {
    let plan = place.facts.plans.get(fault.id());
    let spent = plan.map(|plan| times(&plan.asked.problem, &plan.plan.tree));
    let shares = shares(place, fault);
    let causes: Vec<view::Cause> = (0..fault.causes.len()).map(|at| cause(place, fault, at, &shares)).collect();
    let with = |wanted: Need| -> String {
        let those = (0..fault.causes.len()).filter(|at| need(place, fault, *at) == Some(wanted));
        let together: Option<u32> = those.filter_map(|at| shares.get(at).copied()).reduce(u32::saturating_add);
        together.map(shown_percent).unwrap_or_default()
    };
    view::Quote {
        fault: place.link(Kind::Fault, fault.id()),
        codes: fault.codes.iter().map(|code| code.value.clone()).collect(),
        rows: rows(place, fault, plan, spent.as_ref()),
        ninetieth: spent.as_ref().map_or(0, |spent| whole(spent.repair.ninetieth + confirming(fault))),
        depots: depots(&causes),
        depot_share: with(Need::Required),
        depot_perhaps: with(Need::Conditional),
        tools: tools(place, fault),
        repair_tools: repair_tools(place, fault),
        based_on: based_on(place, fault),
        causes: sorted(causes, &shares),
    }
}

/// What the repairs need beside the tools of the checks, whichever cause it is.
fn repair_tools(place: Place<'_>, fault: &Fault) -> Vec<String> {
    let repairs = fault.causes.iter().filter_map(|cause| cause.repair.as_ref());
    let procedures = repairs.filter_map(|link| place.guide.procedures.get(&link.value));
    let named: BTreeSet<String> = procedures.flat_map(|it| &it.tools).map(|tool| tool.value.clone()).collect();
    let known = tools(place, fault);
    named.into_iter().filter(|tool| !known.contains(tool)).collect()
}

/// The likeliest first.
fn sorted(causes: Vec<view::Cause>, shares: &[u32]) -> Vec<view::Cause> {
    let mut order: Vec<(u32, view::Cause)> = shares.iter().copied().zip(causes).collect();
    order.sort_by_key(|(share, _)| std::cmp::Reverse(*share));
    order.into_iter().map(|(_, cause)| cause).collect()
}

fn need(place: Place<'_>, fault: &Fault, cause: usize) -> Option<Need> {
    let link = fault.causes.get(cause)?.repair.as_ref()?;
    place.guide.procedures.get(&link.value)?.recalibration.iter().map(|tag| tag.need.value).max()
}

fn cause(place: Place<'_>, fault: &Fault, at: usize, shares: &[u32]) -> view::Cause {
    let Some(cause) = fault.causes.get(at) else { return view::Cause::default() };
    let procedure = cause.repair.as_ref().and_then(|link| place.guide.procedures.get(&link.value));
    view::Cause {
        says: cause.says.value.clone(),
        share: shown_percent(shares.get(at).copied().unwrap_or(0)),
        repair: cause.repair.as_ref().map_or_else(Repair::default, |link| place.repair(link)),
        minutes: procedure.map_or(0, |procedure| minutes(procedure.seconds.value)),
        parts: procedure.map(|procedure| take(place, procedure)).unwrap_or_default(),
    }
}

fn depots(causes: &[view::Cause]) -> Vec<Meanwhile> {
    let mut depots: Vec<Meanwhile> = Vec::new();
    for depot in causes.iter().flat_map(|cause| &cause.repair.tag.meanwhile) {
        if !depots.iter().any(|known| known.depot.href == depot.depot.href) {
            depots.push(depot.clone());
        }
    }
    depots
}

/// Seconds to confirm the complaint.
fn confirming(fault: &Fault) -> u64 {
    u64::from(fault.verify.as_ref().and_then(|verify| verify.seconds.as_ref()).map_or(0, |seconds| seconds.value))
}

fn whole(seconds: u64) -> u32 {
    minutes(u32::try_from(seconds).unwrap_or(u32::MAX))
}

fn rows(place: Place<'_>, fault: &Fault, plan: Option<&FaultPlan>, spent: Option<&Times>) -> Vec<view::Row> {
    let (Some(plan), Some(Times { find, repair })) = (plan, spent) else { return Vec::new() };
    let confirm = confirming(fault);
    let exact = |seconds: u64| Ratio::from_integer(u128::from(seconds));
    let longest = plan.asked.problem.repairs.iter().map(|repair| repair.seconds).max().unwrap_or(0);
    // The average of a sum is the sum of the averages, so the repair's own is what is left.
    let mending = if repair.expected > find.expected { repair.expected - find.expected } else { exact(0) };
    let row = |says: &'static str, likely: Ratio<u128>, worst: u64| view::Row {
        says: place.word(says),
        likely: one_decimal(likely),
        worst: one_decimal(exact(worst)),
        all: says == "in_all_sum",
    };
    vec![
        row("verify_title", exact(confirm), confirm),
        row("find_cause", find.expected, find.worst),
        row("mend_it", mending, longest),
        row("in_all_sum", repair.expected + exact(confirm), repair.worst + confirm),
    ]
}
