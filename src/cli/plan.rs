//! `bayleaf plan`: the plan of one fault as text or JSON, and bare instances.

use std::fmt::Write as _;
use std::path::Path;

use num_rational::Ratio;
use serde_json::{Value, json};

use crate::desk::{What, read_given};
use crate::model::{Entry, Fault};
use crate::reason::fault_plans::tenths_of_minutes;
use crate::reason::plan::{self, Margin, PlanError, Reach, Rule, Times};
use crate::reason::walk::{self, To, Walk, WalkStep};
use crate::reason::{Facts, FaultPlan};

/// Positions that may be searched to say how far likelihoods may move.
const MOST_NODES: u64 = 400_000;

/// Version of the JSON form; it changes when a field changes its meaning or goes away.
const FORM: u32 = 1;

/// The plan of a fault as text for a person.
pub(super) fn text(fault: &Fault, planned: &FaultPlan) -> String {
    let walk = walk::of(fault, planned);
    let times = plan::times(&planned.asked.problem, &planned.plan.tree);
    let mut out = format!("{}\n\n", fault.symptom.value);
    out.push_str(&worth(planned, &times));
    for (index, step) in walk.steps.iter().enumerate() {
        let _ = write!(out, "\n{}", step_text(fault, planned, &walk, index, step));
    }
    let _ = write!(out, "\nWhat plainer orders would take on average\n{}", orders_text(planned));
    out.push_str(&margins_text(fault, planned));
    out.push_str(&missing_text(planned));
    out
}

pub(super) fn minutes(seconds: Ratio<u128>) -> String {
    let tenths = tenths_of_minutes(seconds);
    format!("{}.{}", tenths / 10, tenths % 10)
}

fn whole(seconds: u64) -> String {
    minutes(Ratio::from_integer(u128::from(seconds)))
}

fn worth(planned: &FaultPlan, times: &Times) -> String {
    let proof = if planned.plan.exact {
        "proved to be the least".to_owned()
    } else {
        format!("not proved; no order can take less than {} min", minutes(planned.plan.lower_bound))
    };
    let row = |name: &str, spread: &plan::Spread| {
        let (half, nine, worst) = (whole(spread.median), whole(spread.ninetieth), whole(spread.worst));
        format!(
            "{name:<10} {:>7} min on average, half within {half}, nine in ten within {nine}, worst {worst}\n",
            minutes(spread.expected)
        )
    };
    format!("{}{}           {proof}\n", row("to find", &times.find), row("to repair", &times.repair))
}

fn step_text(fault: &Fault, planned: &FaultPlan, walk: &Walk, index: usize, step: &WalkStep) -> String {
    let Some(check) = fault.checks.get(step.check) else { return String::new() };
    let mut out = format!("{:>3}  {}  ({} min)\n", index + 1, check.ask.value, whole(step.seconds));
    for access in step.opens.iter().filter_map(|place| fault.accesses.get(*place)) {
        let _ = writeln!(out, "       first: {}", access.action.value);
    }
    for task in step.make_safe.iter().filter_map(|task| planned.asked.tasks.get(*task)) {
        let _ = writeln!(out, "       make safe: {task}");
    }
    for (answer, to) in check.answers.iter().zip(&step.answers) {
        let _ = writeln!(out, "       {}  ->  {}", answer.says.value, lead(fault, planned, walk, *to, answer));
    }
    out
}

fn lead(fault: &Fault, planned: &FaultPlan, walk: &Walk, to: To, answer: &crate::model::Answer) -> String {
    match to {
        To::Step(step) => format!("{}", step + 1),
        To::Ending(ending) => {
            walk.endings.get(ending).map_or_else(String::new, |ending| ending_text(fault, planned, ending))
        }
        To::OtherFault => answer.go_to.as_ref().map_or_else(String::new, |link| format!("go to {}", link.as_str())),
        To::Nowhere => "none of the causes: ask".to_owned(),
    }
}

fn ending_text(fault: &Fault, planned: &FaultPlan, ending: &walk::Ending) -> String {
    let causes = ending.causes.iter().filter_map(|cause| fault.causes.get(*cause));
    let causes: Vec<&str> = causes.map(|cause| cause.id.value.as_str()).collect();
    let repairs = ending.repairs.iter().filter_map(|repair| planned.asked.problem.repairs.get(*repair));
    let repairs: Vec<&str> = repairs.map(|repair| repair.id.as_str()).collect();
    let how = if ending.shown { "" } else { ", by elimination" };
    format!("{}: {}{how}", causes.join(" or "), repairs.join(", then "))
}

fn rule_word(rule: Rule) -> &'static str {
    match rule {
        Rule::QuickAndProbable => "quick and probable first",
        Rule::LikelihoodPerSecond => "likelihood a minute",
        Rule::CheapestFirst => "quickest first",
        Rule::MostLikelyFirst => "most likely first",
    }
}

fn orders_text(planned: &FaultPlan) -> String {
    let orders = plan::plain_orders(&planned.asked.problem).unwrap_or_default();
    let line = |order: &plan::Plain| format!("  {:<26} {:>7} min\n", rule_word(order.rule), minutes(order.expected));
    orders.iter().map(line).collect()
}

fn margins(planned: &FaultPlan) -> Vec<Margin> {
    let options = plan::Options::default();
    plan::margins_within(&planned.asked.problem, &planned.plan, &options, MOST_NODES).unwrap_or_default()
}

fn percent(share: Ratio<u128>) -> String {
    format!("{} %", (share * Ratio::from_integer(100)).round().to_integer())
}

fn reach_text(reach: Reach) -> String {
    match reach {
        Reach::Changes(at) => percent(at),
        Reach::Stays => "any".to_owned(),
        Reach::Unknown(at) => format!("at least to {}", percent(at)),
    }
}

fn margins_text(fault: &Fault, planned: &FaultPlan) -> String {
    let mut out = "\nHow far a likelihood may move before another check comes first\n".to_owned();
    for margin in margins(planned) {
        let Some(cause) = fault.causes.get(margin.cause) else { continue };
        let (now, down, up) = (percent(margin.now), reach_text(margin.down), reach_text(margin.up));
        let _ = writeln!(out, "  {:<26} now {now:>5}   down to {down:<6} up to {up}", cause.id.value);
    }
    out
}

fn missing(planned: &FaultPlan) -> Option<plan::Missing> {
    plan::missing_check(&planned.asked.problem, &planned.plan, &plan::Options::default()).ok().flatten()
}

fn missing_text(planned: &FaultPlan) -> String {
    let Some(missing) = missing(planned) else { return String::new() };
    let repair = planned.asked.problem.repairs.get(missing.repair).map_or("", |repair| repair.id.as_str());
    format!(
        "\nA check that shows what needs `{repair}` would save up to {} min, as long as it takes under {} min.\n",
        minutes(missing.saves),
        whole(missing.break_even)
    )
}

/// The plan of a fault as JSON, see `plan.schema.json`.
pub(super) fn as_json(fault: &Fault, planned: &FaultPlan) -> Value {
    let walk = walk::of(fault, planned);
    let times = plan::times(&planned.asked.problem, &planned.plan.tree);
    let orders = plan::plain_orders(&planned.asked.problem).unwrap_or_default();
    json!({
        "form": FORM,
        "fault": fault.id(),
        "exact": planned.plan.exact,
        "expected_seconds": fraction(planned.plan.expected),
        "lower_bound_seconds": fraction(planned.plan.lower_bound),
        "positions_searched": planned.plan.nodes,
        "find": spread_json(&times.find),
        "repair": spread_json(&times.repair),
        "start": walk.start.map(to_json),
        "steps": walk.steps.iter().map(|step| step_json(fault, planned, step)).collect::<Vec<_>>(),
        "endings": walk.endings.iter().map(|ending| ending_json(fault, planned, ending)).collect::<Vec<_>>(),
        "plain_orders": orders.iter().map(|order| json!({
            "order": rule_word(order.rule),
            "expected_seconds": fraction(order.expected),
        })).collect::<Vec<_>>(),
        "margins": margins(planned).iter().filter_map(|margin| Some(json!({
            "cause": fault.causes.get(margin.cause)?.id.value,
            "now": fraction(margin.now),
            "down": reach_json(margin.down),
            "up": reach_json(margin.up),
        }))).collect::<Vec<_>>(),
        "missing_check": missing(planned).map(|missing| json!({
            "shows": planned.asked.problem.repairs.get(missing.repair).map(|repair| repair.id.as_str()),
            "saves_seconds": fraction(missing.saves),
            "break_even_seconds": missing.break_even,
        })),
    })
}

/// An exact fraction and its nearest decimal number.
pub(super) fn fraction(value: Ratio<u128>) -> Value {
    let near = *value.numer() as f64 / *value.denom() as f64;
    json!({ "exact": value.to_string(), "near": near })
}

fn reach_json(reach: Reach) -> Value {
    match reach {
        Reach::Changes(at) => json!({ "changes_at": fraction(at) }),
        Reach::Stays => json!({ "stays": true }),
        Reach::Unknown(at) => json!({ "stays_at_least_to": fraction(at) }),
    }
}

fn spread_json(spread: &plan::Spread) -> Value {
    json!({
        "expected": fraction(spread.expected),
        "median": spread.median,
        "ninetieth": spread.ninetieth,
        "worst": spread.worst,
    })
}

fn to_json(to: To) -> Value {
    match to {
        To::Step(step) => json!({ "step": step }),
        To::Ending(ending) => json!({ "ending": ending }),
        To::OtherFault => json!({ "other_fault": true }),
        To::Nowhere => json!({ "ask": true }),
    }
}

fn step_json(fault: &Fault, planned: &FaultPlan, step: &WalkStep) -> Value {
    let check = fault.checks.get(step.check);
    let answers = check.into_iter().flat_map(|check| check.answers.iter().zip(&step.answers));
    json!({
        "check": check.map(|check| check.id.value.as_str()),
        "seconds": step.seconds,
        "opens": step.opens.iter().filter_map(|place| Some(fault.accesses.get(*place)?.id.value.as_str())).collect::<Vec<_>>(),
        "make_safe": step.make_safe.iter().filter_map(|task| planned.asked.tasks.get(*task)).collect::<Vec<_>>(),
        "change_to": step.change_to.and_then(|state| planned.asked.states.get(state)),
        "possible": step.possible.iter().filter_map(|(cause, weight)| {
            Some(json!({ "cause": fault.causes.get(*cause)?.id.value, "weight": weight.to_string() }))
        }).collect::<Vec<_>>(),
        "answers": answers.map(|(answer, to)| json!({
            "says": answer.says.value,
            "leads": to_json(*to),
            "go_to": answer.go_to.as_ref().map(|link| link.as_str()),
        })).collect::<Vec<_>>(),
    })
}

fn ending_json(fault: &Fault, planned: &FaultPlan, ending: &walk::Ending) -> Value {
    let repairs = ending.repairs.iter().filter_map(|repair| planned.asked.problem.repairs.get(*repair));
    json!({
        "causes": ending.causes.iter().filter_map(|cause| Some(fault.causes.get(*cause)?.id.value.as_str())).collect::<Vec<_>>(),
        "repairs": repairs.map(|repair| repair.id.as_str()).collect::<Vec<_>>(),
        "shown": ending.shown,
        "cured": ending.cured,
    })
}

/// Solves a bare instance in a file, and rechecks it if asked.
pub(super) fn instance(path: &Path, with_proof: bool) -> Result<String, String> {
    let bytes = read_given(path).map_err(|what| unreadable(path, &what))?;
    let text = String::from_utf8(bytes).map_err(|_| format!("{} is not text in UTF-8.", path.display()))?;
    let text = text.trim_start_matches('\u{feff}');
    let options = plan::Options::default();
    let wrong = |error: PlanError| format!("{}: {error}", path.display());
    let answer = plan::solve_instance(text, &options).map_err(wrong)?;
    if !with_proof {
        return Ok(answer);
    }
    let plan::Instance { problem, ticks } = plan::read_instance(text).map_err(wrong)?;
    let plan = plan::solve(&problem, &options).map_err(wrong)?;
    let head = answer.strip_suffix('}').unwrap_or(&answer);
    Ok(format!("{head},\"proof\":{}}}", super::proof::as_json(&problem, &plan, Some(ticks))))
}

/// Why an instance could not be read, in words.
fn unreadable(path: &Path, what: &What) -> String {
    let path = path.display();
    match what {
        What::Missing => format!("there is no file {path}. Name a JSON file with an instance, or `-` to pipe one in."),
        What::NotAFile => format!("{path} is a folder. Name the JSON file in it that holds the instance."),
        What::TooLarge { limit } => format!("{path} is larger than {} MiB, the most that is read.", limit >> 20),
        What::Unreadable { reason } => format!("{path} cannot be read ({reason}). Make it readable for you."),
        _ => format!("{path} cannot be read. Name a JSON file with an instance."),
    }
}

/// Why a fault has no plan, in words.
pub(super) fn refused(facts: &Facts, fault: &str) -> String {
    let error = facts.plans.too_large(fault).or_else(|| facts.plans.error(fault).cloned());
    match error {
        Some(error) => format!("`{fault}` cannot be planned: {error}. `bayleaf inspect` says what to mend."),
        None => format!("`{fault}` cannot be planned. `bayleaf inspect` says what to mend."),
    }
}
