//! Time, nodes and gap of the plan solver on seeded synthetic faults, and what the plain orders cost on them.
//!
//! `cargo bench --bench plan` prints a table in Markdown; a word after `--` runs only the families with it in
//! their name, and a number sets the faults per family. Times are processor time of one thread, the best of three runs.

#![allow(clippy::disallowed_methods, reason = "a bench reads what the system says of its time")]

mod families;
mod figures;

use bayleaf::reason::plan::{Options, Plan, Problem, plain_orders, solve};
use families::{FAMILIES, Family, problem};
use figures::{Row, Sample, print};

/// Faults per family, unless a number is given as a word.
const SEEDS: u64 = 100;
/// Each fault is solved this often and the quickest run counts, so that other work on the machine shows less.
const RUNS: usize = 3;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
    let (numbers, words): (Vec<String>, Vec<String>) = words.into_iter().partition(|word| word.parse::<u64>().is_ok());
    let seeds = numbers.first().and_then(|number| number.parse().ok()).unwrap_or(SEEDS);
    let wanted = |family: &&Family| words.is_empty() || words.iter().any(|word| family.name.contains(word.as_str()));
    let rows: Vec<Row> =
        FAMILIES.iter().filter(wanted).map(|family| Row::new(family, samples(family, seeds))).collect();
    print(&rows);
}

fn samples(family: &Family, seeds: u64) -> Vec<Sample> {
    (0..seeds).map(|seed| sample(&problem(family, seed))).collect()
}

fn timed(problem: &Problem) -> (Plan, f64) {
    let start = figures::now();
    let plan = solve(problem, &Options::default()).expect("the families are valid problems");
    (plan, figures::now() - start)
}

fn sample(problem: &Problem) -> Sample {
    let (plan, milliseconds) = (0..RUNS).map(|_| timed(problem)).min_by(|a, b| a.1.total_cmp(&b.1)).expect("RUNS > 0");
    let cost = figures::float(plan.expected);
    let over = |other: f64| if cost > 0.0 { 100.0 * (other / cost - 1.0) } else { 0.0 };
    let quick = solve(problem, &Options { nodes: Some(0) }).expect("the families are valid problems");
    let orders = plain_orders(problem).expect("the families are valid problems");
    Sample {
        milliseconds,
        nodes: plan.nodes,
        exact: plan.exact,
        gap: over(cost) + 100.0 * (1.0 - figures::float(plan.lower_bound) / cost.max(f64::MIN_POSITIVE)),
        certificate: 100.0 * (1.0 - figures::float(plan.certificate.bound) / cost.max(f64::MIN_POSITIVE)),
        rollout: over(figures::float(quick.expected)),
        orders: orders.iter().map(|order| over(figures::float(order.expected))).collect(),
    }
}
