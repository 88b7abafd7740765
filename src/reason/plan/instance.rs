//! A bare instance as JSON, solved on its own: for research, and so that anyone can hold the solver to their own.
//!
//! ```json
//! {"causes": [{"id": "a", "weight": 0.4, "repair": "r"}],
//!  "checks": [{"id": "t", "minutes": 2, "access": "panel", "outcomes": {"good": ["b"], "bad": ["a"]}, "none": "good"}],
//!  "access": [{"id": "panel", "minutes": 10}],
//!  "mode": "skip"}
//! ```
//! `repair` defaults to one of the cause's own. `mode` is `skip` (elimination allowed for all; the default) or
//! `confirm` ("none of these" is present with weight 0 and answers each check as its largest outcome does, the first
//! listed of equals, unless the check says otherwise). Repairs take no time: a path ends free of charge.

use std::collections::BTreeMap;

use num_rational::Ratio;
use num_traits::ToPrimitive;
use serde_json::{Map, Value, json};

use super::decimal::{Decimal, common};
use super::problem::{Access, Cause, Check, Outcome, PlanError, Problem, Repair, Then};
use super::solve::{Options, solve};
use super::tree::{Left, Step, Tree};

/// Solves a bare instance; the answer is `{"minutes", "exact", "lower_bound", "tree"}`, and both numbers again as
/// exact fractions.
///
/// # Errors
/// [`PlanError::Instance`] says in words what cannot be read; other errors as in [`solve`].
pub fn solve_instance(text: &str, options: &Options) -> Result<String, PlanError> {
    let Instance { problem, ticks } = read_instance(text)?;
    let plan = solve(&problem, options)?;
    let minutes = |seconds: Ratio<u128>| seconds / Ratio::from(ticks);
    let (expected, lower) = (minutes(plan.expected), minutes(plan.lower_bound));
    let answer = json!({
        "minutes": number(expected),
        "exact": plan.exact,
        "lower_bound": number(lower),
        "minutes_fraction": expected.to_string(),
        "lower_bound_fraction": lower.to_string(),
    });
    let head = answer.to_string();
    let head = head.strip_suffix('}').unwrap_or(&head);
    Ok(format!("{head},\"tree\":{}}}", tree(&problem, &plan.tree)))
}

/// A bare instance as it was read.
#[derive(Debug, Clone)]
pub struct Instance {
    /// The problem; its seconds are ticks.
    pub problem: Problem,
    /// Ticks in a minute.
    pub ticks: u128,
}

fn number(value: Ratio<u128>) -> f64 {
    match (value.numer().to_f64(), value.denom().to_f64()) {
        (Some(top), Some(bottom)) => top / bottom,
        _ => f64::NAN,
    }
}

fn wrong(what: impl Into<String>) -> PlanError {
    PlanError::Instance(what.into())
}

/// Ids of one list, by position.
type Names = BTreeMap<String, usize>;

/// Reads a bare instance.
///
/// # Errors
/// [`PlanError::Instance`] says in words what cannot be read.
pub fn read_instance(text: &str) -> Result<Instance, PlanError> {
    let root: Value = serde_json::from_str(text).map_err(|error| wrong(format!("not JSON: {error}")))?;
    let root = root.as_object().ok_or_else(|| wrong("the instance must be a JSON object"))?;
    let confirm = match root.get("mode").map(|mode| mode.as_str()) {
        None | Some(Some("skip")) => false,
        Some(Some("confirm")) => true,
        Some(_) => return Err(wrong("`mode` must be \"skip\" or \"confirm\"")),
    };
    let (causes, accesses, checks) = (list(root, "causes")?, list(root, "access")?, list(root, "checks")?);
    let mut minutes = Vec::new();
    for entry in accesses.iter().chain(&checks) {
        minutes.push(decimal(entry, "minutes")?.ok_or_else(|| wrong(format!("`{}` has no `minutes`", name(entry))))?);
    }
    let (seconds, ticks) = common(&minutes).ok_or_else(|| wrong("the minutes have too many digits"))?;
    let seconds: Option<Vec<u64>> = seconds.into_iter().map(|ticks| u64::try_from(ticks).ok()).collect();
    let seconds = seconds.ok_or_else(|| wrong("the minutes have too many digits"))?;
    let mut problem = Problem { none_of_these: confirm.then_some(0), ..Problem::default() };
    read_causes(&causes, confirm, &mut problem)?;
    let (first, rest) = seconds.split_at(accesses.len());
    for (entry, seconds) in accesses.iter().zip(first) {
        problem.accesses.push(Access { id: id(entry)?, seconds: *seconds, needs: Vec::new() });
    }
    let names = names(problem.causes.iter().map(|cause| &cause.id))?;
    let panels = self::names(problem.accesses.iter().map(|access| &access.id))?;
    for (at, entry) in accesses.iter().enumerate() {
        problem.accesses[at].needs = ids(name(entry), entry, "needs", &panels)?;
    }
    for (entry, seconds) in checks.iter().zip(rest) {
        problem.checks.push(check(entry, *seconds, &names, &panels, confirm)?);
    }
    Ok(Instance { problem, ticks })
}

fn list<'a>(root: &'a Map<String, Value>, key: &str) -> Result<Vec<&'a Map<String, Value>>, PlanError> {
    let Some(value) = root.get(key) else { return Ok(Vec::new()) };
    let list = value.as_array().ok_or_else(|| wrong(format!("`{key}` must be a list")))?;
    list.iter().map(|entry| entry.as_object().ok_or_else(|| wrong(format!("`{key}` must hold objects")))).collect()
}

fn name(entry: &Map<String, Value>) -> &str {
    entry.get("id").and_then(Value::as_str).unwrap_or("an entry without id")
}

fn id(entry: &Map<String, Value>) -> Result<String, PlanError> {
    entry
        .get("id")
        .and_then(Value::as_str)
        .map(str::to_owned)
        .ok_or_else(|| wrong("every entry needs an `id` in quotes"))
}

fn names<'a>(ids: impl Iterator<Item = &'a String>) -> Result<Names, PlanError> {
    let mut names = Names::new();
    for (at, id) in ids.enumerate() {
        if names.insert(id.clone(), at).is_some() {
            return Err(PlanError::DuplicateId(id.clone()));
        }
    }
    Ok(names)
}

fn decimal(entry: &Map<String, Value>, key: &str) -> Result<Option<Decimal>, PlanError> {
    let Some(value) = entry.get(key) else { return Ok(None) };
    let number = value.as_number().map(ToString::to_string);
    let parsed = number.as_deref().and_then(Decimal::parse);
    parsed.map(Some).ok_or_else(|| wrong(format!("`{key}` of `{}` must be a number that is not negative", name(entry))))
}

fn read_causes(entries: &[&Map<String, Value>], confirm: bool, problem: &mut Problem) -> Result<(), PlanError> {
    let given: Vec<Option<Decimal>> = entries.iter().map(|entry| decimal(entry, "weight")).collect::<Result<_, _>>()?;
    let some = given.iter().any(Option::is_some);
    if let Some(at) = given.iter().position(|weight| some && weight.is_none()) {
        return Err(wrong(format!("`{}` has no `weight`, though other causes have one", name(entries[at]))));
    }
    let weights: Vec<Decimal> = given.into_iter().map(|weight| weight.unwrap_or(Decimal::ONE)).collect();
    let (weights, _) = common(&weights).ok_or_else(|| wrong("the weights have too many digits"))?;
    let mut repairs = Names::new();
    for (entry, weight) in entries.iter().zip(weights) {
        let own = id(entry)?;
        let repair = match entry.get("repair") {
            None => format!("repair of {own}"),
            Some(repair) => format!("repair {}", repair.as_str().ok_or_else(|| wrong("`repair` must be in quotes"))?),
        };
        let next = repairs.len();
        let at = *repairs.entry(repair.clone()).or_insert(next);
        if at == next {
            problem.repairs.push(Repair { id: repair, seconds: 0 });
        }
        problem.causes.push(Cause { id: own, weight, repair: at, by_elimination: !confirm });
    }
    Ok(())
}

/// One id or a list of them, under a key of a map that belongs to `owner`.
fn ids(owner: &str, map: &Map<String, Value>, key: &str, names: &Names) -> Result<Vec<usize>, PlanError> {
    let one = |value: &Value| {
        let id = value.as_str().ok_or_else(|| wrong(format!("`{key}` of `{owner}` must hold ids")))?;
        let place = names.get(id).copied();
        place.ok_or_else(|| wrong(format!("`{key}` of `{owner}` names `{id}`, which is not listed")))
    };
    match map.get(key) {
        None | Some(Value::Null) => Ok(Vec::new()),
        Some(Value::Array(list)) => list.iter().map(one).collect(),
        Some(value) => one(value).map(|at| vec![at]),
    }
}

fn check(
    entry: &Map<String, Value>,
    seconds: u64,
    causes: &Names,
    panels: &Names,
    confirm: bool,
) -> Result<Check, PlanError> {
    let outcomes = entry.get("outcomes").and_then(Value::as_object);
    let outcomes = outcomes.ok_or_else(|| wrong(format!("`{}` has no `outcomes`", name(entry))))?;
    let mut read = Vec::new();
    for label in outcomes.keys() {
        let then = Then::Leaves(ids(name(entry), outcomes, label, causes)?);
        read.push(Outcome { label: label.clone(), then, none: false, wrong_per_million: 0 });
    }
    if confirm {
        let at = sound(entry, &read)?;
        read[at].none = true;
    }
    Ok(Check {
        id: id(entry)?,
        seconds,
        accesses: ids(name(entry), entry, "access", panels)?,
        outcomes: read,
        ..Check::default()
    })
}

/// The answer of a sound machine.
fn sound(entry: &Map<String, Value>, outcomes: &[Outcome]) -> Result<usize, PlanError> {
    let unknown = || wrong(format!("`none` of `{}` must be one of its answers", name(entry)));
    if let Some(none) = entry.get("none") {
        let label = none.as_str().ok_or_else(unknown)?;
        return outcomes.iter().position(|outcome| outcome.label == label).ok_or_else(unknown);
    }
    let size = |outcome: &Outcome| match &outcome.then {
        Then::Leaves(causes) => causes.len(),
        Then::Exit(_) => 0,
    };
    let most = outcomes.iter().map(size).max().unwrap_or(0);
    outcomes
        .iter()
        .position(|outcome| size(outcome) == most)
        .ok_or_else(|| wrong(format!("`{}` has no answers", name(entry))))
}

/// What is still to be written: a node, or text that is ready.
enum Part {
    Node(usize),
    Text(String),
}

/// The tree as JSON text, written without recursion: it may be thousands of checks deep.
fn tree(problem: &Problem, tree: &Tree) -> String {
    let mut text = String::new();
    let mut parts = vec![Part::Node(0)];
    while let Some(part) = parts.pop() {
        match part {
            Part::Text(ready) => text.push_str(&ready),
            Part::Node(at) => match &tree.nodes[at].step {
                Step::Check(step) => {
                    let check = &problem.checks[step.check];
                    text.push_str(&format!("{{\"check\":{},\"answers\":{{", json!(check.id)));
                    parts.push(Part::Text("}}".into()));
                    for (nth, (outcome, to)) in step.answers.iter().enumerate().rev() {
                        let comma = if nth > 0 { "," } else { "" };
                        parts.push(Part::Node(*to));
                        parts.push(Part::Text(format!("{comma}{}:", json!(check.outcomes[*outcome].label))));
                    }
                }
                Step::Repair { left, .. } | Step::Group { left, .. } => {
                    text.push_str(&json!({"causes": ids_of(problem, left)}).to_string());
                }
                Step::None | Step::Exit(_) => text.push_str("{\"causes\":[]}"),
            },
        }
    }
    text
}

fn ids_of(problem: &Problem, left: &[Left]) -> Vec<String> {
    left.iter().filter_map(|left| left.cause).map(|cause| problem.causes[cause].id.clone()).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn solved(text: &str) -> Value {
        serde_json::from_str(&solve_instance(text, &Options::default()).unwrap()).unwrap()
    }

    const PANEL: &str = r#"{"causes":[{"id":"A","weight":0.4},{"id":"B","weight":0.3},{"id":"C","weight":0.2},{"id":"D","weight":0.1}],
        "checks":[{"id":"tA","minutes":4,"outcomes":{"no":["B","C","D"],"yes":["A"]}},
                  {"id":"tB","minutes":2,"access":"panel","outcomes":{"no":["A","C","D"],"yes":["B"]}},
                  {"id":"tC","minutes":1,"access":["panel"],"outcomes":{"no":["A","B","D"],"yes":["C"]}},
                  {"id":"tD","minutes":12,"outcomes":{"no":["A","B","C"],"yes":["D"]}}],
        "access":[{"id":"panel","minutes":10}],"mode":"skip"}"#;

    #[test]
    fn a_shared_panel() {
        // Recomputed elsewhere with other code: 11.4 minutes.
        let answer = solved(PANEL);
        assert_eq!((answer["minutes"].as_f64(), answer["exact"].as_bool()), (Some(11.4), Some(true)));
        assert_eq!(answer["minutes_fraction"], "57/5");
        assert_eq!(answer["tree"]["check"], "tA");
        assert_eq!(answer["tree"]["answers"]["yes"]["causes"], json!(["A"]));
    }

    #[test]
    fn modes_and_the_answer_of_a_sound_machine() {
        let text = |mode: &str, none: &str| {
            format!(
                r#"{{"causes":[{{"id":"a","weight":0.9}},{{"id":"b","weight":0.1}}],"mode":"{mode}",
                "checks":[{{"id":"ta","minutes":2,"outcomes":{{"no":["b"],"yes":["a"]}}{none}}},
                          {{"id":"tb","minutes":1,"outcomes":{{"no":["a"],"yes":["b"]}}{none}}}]}}"#
            )
        };
        assert_eq!(solved(&text("skip", ""))["minutes"], 1.0);
        // Elementary: .9 is found after 2 minutes, .1 after 3.
        assert_eq!(solved(&text("confirm", r#","none":"no""#))["minutes"], 2.1);
    }

    #[test]
    fn extreme_numbers_stay_exact() {
        let text = r#"{"causes":[{"id":"a","weight":1e-12},{"id":"b","weight":1e12},{"id":"c","weight":0}],
            "checks":[{"id":"t","minutes":0.1,"outcomes":{"x":["a"],"y":["b","c"]}},
                      {"id":"u","minutes":0,"outcomes":{"x":["a","b"],"y":["c"]}}]}"#;
        let answer = solved(text);
        assert_eq!(answer["minutes_fraction"], "1/10");
    }

    #[test]
    fn a_deep_tree_is_written_whole() {
        let ids: Vec<String> = (0..300).map(|at| format!("c{at:03}")).collect();
        let causes: Vec<Value> = ids.iter().map(|id| json!({"id": id})).collect();
        let check = |at: usize| {
            let rest: Vec<&String> = ids.iter().filter(|id| **id != ids[at]).collect();
            json!({"id": format!("t{at:03}"), "minutes": 1, "outcomes": {"no": rest, "yes": [ids[at]]}})
        };
        let checks: Vec<Value> = (0..300).map(check).collect();
        let text = json!({"causes": causes, "checks": checks, "mode": "confirm"}).to_string();
        let answer = solve_instance(&text, &Options::default()).unwrap();
        assert_eq!(answer.matches("\"check\"").count(), 300);
        assert_eq!(answer.matches('{').count(), answer.matches('}').count());
        // Elementary: 300 equal causes, all confirmed: the mean of 1 to 300.
        assert!(answer.contains("\"minutes\":150.5,"));
    }

    #[test]
    fn what_cannot_be_read_is_said() {
        let cases = [
            ("", "not JSON"),
            ("[]", "JSON object"),
            ("{}", "no cause"),
            (r#"{"mode":"x","causes":[]}"#, "`mode`"),
            (r#"{"causes":[{"id":"a","weight":-1}]}"#, "not negative"),
            (r#"{"causes":[{"id":"a","weight":1},{"id":"b"}]}"#, "`b` has no `weight`"),
            (r#"{"causes":[{"id":"a"},{"id":"a"}]}"#, "used twice"),
            (
                r#"{"causes":[{"id":"a"}],"checks":[{"id":"t","minutes":1,"outcomes":{"x":["b"]}}]}"#,
                "`x` of `t` names `b`, which is not listed",
            ),
            (
                r#"{"causes":[{"id":"a"}],"checks":[{"id":"t","minutes":1,"outcomes":{"x":[]}}]}"#,
                "no answer of check `t`",
            ),
            (r#"{"causes":[{"id":"a"}],"checks":[{"id":"t","outcomes":{"x":["a"]}}]}"#, "no `minutes`"),
            (r#"{"causes":[{"id":"a","weight":1e-300},{"id":"b","weight":1e300}]}"#, "too many digits"),
        ];
        for (text, part) in cases {
            let error = solve_instance(text, &Options::default()).unwrap_err().to_string();
            assert!(error.contains(part), "{error}");
        }
        assert_eq!(solved(r#"{"causes":[{"id":"a"}]}"#)["minutes"], 0.0);
    }
}
