//! Time, nodes and gap of the plan solver on seeded synthetic faults, and what the plain orders cost on them.
//!
//! `cargo bench --bench plan` prints a table in Markdown; a word after `--` runs only the families with it in
//! their name, and a number sets the faults per family. Times are processor time of one thread, the best of three runs.
//! The word `write` puts the table into README.md and the picture beside this file:
//! `cargo bench --bench plan -- write`, on a quiet machine.

#![allow(clippy::disallowed_methods, reason = "a bench reads what the system says of its time")]

mod families;
mod figures;
mod plot;

use bayleaf::reason::plan::{Options, Plan, Problem, plain_orders, solve};
use families::{FAMILIES, Family, problem};
use figures::{Row, Sample, Summary, table};

/// Faults per family, unless a number is given as a word.
const SEEDS: u64 = 100;
/// Each fault is solved this often and the quickest run counts, so that other work on the machine shows less.
const RUNS: usize = 3;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with("--")).collect();
    let (numbers, words): (Vec<String>, Vec<String>) = words.into_iter().partition(|word| word.parse::<u64>().is_ok());
    let (write, words): (Vec<String>, Vec<String>) = words.into_iter().partition(|word| word == "write");
    let seeds = numbers.first().and_then(|number| number.parse().ok()).unwrap_or(SEEDS);
    let wanted = |family: &&Family| words.is_empty() || words.iter().any(|word| family.name.contains(word.as_str()));
    let rows: Vec<Summary> =
        FAMILIES.iter().filter(wanted).map(|family| Row::new(family, samples(family, seeds)).summary()).collect();
    let table = table(&rows);
    print!("{table}");
    if !write.is_empty() {
        put(&table, &plot::svg(&rows)).expect("README.md and the folder of the benches can be written");
    }
}

/// Puts the table between its marks in README.md, and the picture into its file.
fn put(table: &str, picture: &str) -> std::io::Result<()> {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    std::fs::write(root.join("tests/benches/plan.svg"), picture)?;
    let readme = std::fs::read_to_string(root.join("README.md"))?;
    let mark = |name: &str| format!("<!-- plan bench: {name} -->\n");
    let parts =
        readme.split_once(&mark("from")).and_then(|(before, rest)| Some((before, rest.split_once(&mark("to"))?.1)));
    let Some((before, after)) = parts else { return Ok(()) };
    std::fs::write(root.join("README.md"), [before, &mark("from"), table, &mark("to"), after].concat())
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
        gap: 100.0 * (1.0 - figures::float(plan.lower_bound) / cost.max(f64::MIN_POSITIVE)),
        rollout: over(figures::float(quick.expected)),
        orders: orders.iter().map(|order| over(figures::float(order.expected))).collect(),
    }
}
