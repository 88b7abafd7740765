//! `bayleaf plan --proof`: why no order takes fewer minutes, for anyone to check.

use num_rational::Ratio;
use serde_json::{Map, Value, json};

use super::plan::{fraction, minutes};
use crate::reason::plan::{
    self, Because, Claim, Extra, MOST_CLAIMS, MOST_NUMBERS, Options, Pair, Plan, Problem, Proof, Recheck, Taken,
};

/// What was rechecked, as lines for a person.
pub(super) fn text(problem: &Problem, plan: &Plan) -> String {
    let Ok(found) = plan::recheck(problem, plan, &Options::default()) else { return String::new() };
    if !found.tree {
        return "\nRechecked: the walk does not take the minutes that are stated. Do not rely on this plan.\n"
            .to_owned();
    }
    let claims = found.proof.as_ref().map_or(0, |proof| proof.claims.len());
    let least = minutes(found.bound);
    if found.whole && claims > 0 {
        let claims = if claims == 1 { "1 claim".to_owned() } else { format!("{claims} claims") };
        return format!("\nRechecked without searching: by {claims}, no order takes less than {least} min.\n");
    }
    if found.whole {
        return format!("\nRechecked without searching: no order takes less than {least} min.\n");
    }
    let what = if plan.exact { "Proved by search" } else { "Searched, not proved" };
    format!(
        "\n{what} over {} positions, not rechecked: a written proof would have over {MOST_CLAIMS} claims or \
         {MOST_NUMBERS} numbers.\nRechecked without searching: no order takes less than {least} min.\n",
        plan.nodes
    )
}

/// What was rechecked, see `plan.schema.json`. Bounds are in expected seconds, or in `ticks` of which so many are a
/// minute.
pub(super) fn as_json(problem: &Problem, plan: &Plan, ticks: Option<u128>) -> Value {
    let Ok(found) = plan::recheck(problem, plan, &Options::default()) else { return Value::Null };
    let Recheck { proof, bound, whole, tree } = found;
    let (unit, bound) = match ticks {
        None => ("lower_bound_seconds", bound),
        Some(ticks) => ("lower_bound_minutes", bound / Ratio::from(ticks)),
    };
    json!({
        "rechecked": whole && tree,
        "positions_searched": plan.nodes,
        unit: fraction(bound),
        "written": proof.map(|proof| written(problem, &proof)),
    })
}

fn written(problem: &Problem, proof: &Proof) -> Value {
    let cause = |at: &usize| problem.causes.get(*at).map(|cause| cause.id.as_str());
    json!({
        "scale": proof.scale.to_string(),
        "divisor": proof.divisor.to_string(),
        "units": proof.units.iter().map(|unit| unit.iter().map(cause).collect::<Vec<_>>()).collect::<Vec<_>>(),
        "claims": proof.claims.iter().map(|claim| claim_json(problem, claim)).collect::<Vec<_>>(),
    })
}

fn claim_json(problem: &Problem, claim: &Claim) -> Value {
    let mut value = match &claim.because {
        Because::Tried => json!({ "because": "tried" }),
        Because::Levels => json!({ "because": "levels" }),
        Because::Pairs(pairs) => json!({
            "because": "pairs",
            "room": pairs.room.to_string(),
            "pairs": pairs.pairs.iter().map(|pair| pair_json(problem, pair)).collect::<Vec<_>>(),
            "loans": pairs.loans.iter().map(|(check, extra, unit, amount)| json!({
                "check": check_id(problem, *check),
                "of": extra_json(problem, *extra),
                "unit": unit,
                "amount": amount.to_string(),
            })).collect::<Vec<_>>(),
        }),
        Because::Checks(checks) => json!({
            "because": "checks",
            "checks": checks.iter().map(|taken| taken_json(problem, taken)).collect::<Vec<_>>(),
        }),
    };
    value["bound"] = Value::from(claim.bound.to_string());
    value
}

fn check_id(problem: &Problem, check: usize) -> Option<&str> {
    problem.checks.get(check).map(|check| check.id.as_str())
}

fn pair_json(problem: &Problem, pair: &Pair) -> Value {
    let gift =
        |(check, first): &(usize, u128)| json!({ "check": check_id(problem, *check), "from_first": first.to_string() });
    json!({
        "units": [pair.units.0, pair.units.1],
        "worth": pair.worth.to_string(),
        "gifts": pair.gifts.iter().map(gift).collect::<Vec<_>>(),
    })
}

fn extra_json(problem: &Problem, extra: Extra) -> Value {
    match extra {
        Extra::Access(at) => json!({ "access": problem.accesses.get(at).map(|access| access.id.as_str()) }),
        Extra::Task(at) => json!({ "make_safe": problem.tasks.get(at).map(|task| task.id.as_str()) }),
        Extra::State(at) => json!({ "state": at }),
    }
}

fn taken_json(problem: &Problem, taken: &Taken) -> Value {
    let label = |answer: usize| Some(problem.checks.get(taken.check)?.outcomes.get(answer)?.label.clone());
    let answers = taken.answers.iter().filter_map(|(answer, claim)| Some((label(*answer)?, Value::from(*claim))));
    json!({ "check": check_id(problem, taken.check), "answers": answers.collect::<Map<_, _>>() })
}
