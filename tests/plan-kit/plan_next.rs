//! The plan carried on from a place, for comparing the script of the pages with the compiler.
//!
//! `plan_next FILE.json` reads a list of objects with `problem`, as pages have it, and `moves`, as the script keeps them, and
//! prints for each a line of JSON: what is left, the seconds so far, and what comes next.

#![allow(clippy::disallowed_methods, reason = "a tool of the tests reads the file it is told")]

use std::error::Error;
use std::io::Write;

use bayleaf::reason::plan::{
    Access, Cause, Check, Move, Next, Options, Outcome, Problem, Progress, Repair, States, Task, Then, Why, next,
    weights_left,
};
use serde_json::{Value, json};

fn main() -> Result<(), Box<dyn Error>> {
    let path = std::env::args().nth(1).ok_or("usage: plan_next FILE.json")?;
    let cases: Vec<Value> = serde_json::from_slice(&std::fs::read(path)?)?;
    let mut out = std::io::stdout().lock();
    for case in cases {
        let problem = problem(&case["problem"]);
        let moves: Vec<Move> = list(&case["moves"]).iter().map(|one| one_move(&problem, one)).collect();
        writeln!(out, "{}", answer(&problem, &moves)?)?;
    }
    Ok(())
}

fn list(value: &Value) -> &[Value] {
    value.as_array().map_or(&[], Vec::as_slice)
}

fn word(value: &Value) -> String {
    value.as_str().unwrap_or_default().to_owned()
}

fn place(value: &Value) -> usize {
    value.as_u64().and_then(|value| usize::try_from(value).ok()).unwrap_or(usize::MAX)
}

fn places(value: &Value) -> Vec<usize> {
    list(value).iter().map(place).collect()
}

fn seconds(value: &Value) -> u64 {
    value.as_u64().unwrap_or(0)
}

/// A whole number, written as text where it is large.
fn whole(value: &Value) -> u128 {
    value.as_u64().map_or_else(|| word(value).parse().unwrap_or(0), u128::from)
}

fn problem(value: &Value) -> Problem {
    let cause = |cause: &Value| Cause {
        id: word(&cause["id"]),
        weight: whole(&cause["weight"]),
        repair: place(&cause["repair"]),
        by_elimination: cause["eliminable"] == true,
    };
    let repair = |repair: &Value| Repair { id: word(&repair["id"]), seconds: seconds(&repair["seconds"]) };
    let access = |access: &Value| Access {
        id: word(&access["id"]),
        seconds: seconds(&access["seconds"]),
        needs: places(&access["needs"]),
    };
    let task = |task: &Value| Task { id: word(&task["id"]), seconds: seconds(&task["seconds"]) };
    let change = list(&value["change"]).iter().map(|row| list(row).iter().map(seconds).collect()).collect();
    Problem {
        causes: list(&value["causes"]).iter().map(cause).collect(),
        repairs: list(&value["repairs"]).iter().map(repair).collect(),
        none_of_these: value.get("none").map(whole),
        checks: list(&value["checks"]).iter().map(check).collect(),
        accesses: list(&value["accesses"]).iter().map(access).collect(),
        tasks: list(&value["tasks"]).iter().map(task).collect(),
        states: States { change, start: place(&value["start"]) },
    }
}

fn check(value: &Value) -> Check {
    let outcome = |(at, answer): (usize, &Value)| Outcome {
        label: format!("{at:02}"),
        then: match answer.get("exit") {
            Some(_) => Then::Exit(0),
            None => Then::Leaves(places(&answer["leaves"])),
        },
        none: answer["none"] == true,
        wrong_per_million: 0,
    };
    Check {
        id: word(&value["id"]),
        seconds: seconds(&value["seconds"]),
        accesses: places(&value["access"]),
        make_safe: places(&value["makeSafe"]),
        state: value.get("state").map(place),
        after: places(&value["after"]),
        first: value["first"] == true,
        outcomes: list(&value["answers"]).iter().enumerate().map(outcome).collect(),
        cures: value.get("cures").map(|cures| (place(&cures[0]), place(&cures[1]))),
    }
}

fn one_move(problem: &Problem, value: &Value) -> Move {
    let at = |id: &Value| problem.checks.iter().position(|check| check.id == word(id)).unwrap_or(usize::MAX);
    let (check, outcome) = (at(&value["check"]), place(&value["answer"]));
    let repair = problem.repairs.iter().position(|repair| repair.id == word(&value["repair"])).unwrap_or(usize::MAX);
    match value["kind"].as_str() {
        Some("answer") => Move::Answer { check, outcome },
        Some("known") => Move::Known { check, outcome },
        Some("skip") => Move::Skip { check },
        _ => Move::Tried { repair, cured: value["cured"] == true },
    }
}

fn answer(problem: &Problem, moves: &[Move]) -> Result<Value, Box<dyn Error>> {
    let progress = Progress::of(problem, moves);
    let left: Vec<Value> =
        weights_left(problem, &progress)?.0.iter().map(|(_, weight)| json!(weight.to_string())).collect();
    let causes: Vec<usize> = progress.causes.iter().copied().collect();
    let next = match next(problem, moves, &Options::default())? {
        Next::Check { check, due, expected, exact } => json!({
            "kind": "check", "check": check, "opens": due.opens, "safe": due.make_safe, "change": due.change_to,
            "seconds": due.seconds, "exact": exact,
            "expected": [expected.numer().to_string(), expected.denom().to_string()],
        }),
        Next::Repair { repair, causes, shown, cured, in_turn } => json!({
            "kind": "repair", "repair": repair, "causes": causes, "shown": shown, "cured": cured, "inTurn": in_turn,
        }),
        Next::Exit(_) => json!({ "kind": "exit" }),
        Next::Cured(repair) => json!({ "kind": "cured", "repair": repair }),
        Next::Escalate(why) => json!({ "kind": "escalate", "why": match why {
            Why::NoneOfThese => "none",
            Why::Contradiction => "contradiction",
            Why::Skipped => "skipped",
        } }),
    };
    Ok(json!({ "causes": causes, "weights": left, "spent": progress.spent, "next": next }))
}
