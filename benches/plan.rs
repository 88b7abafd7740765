//! Time, nodes and gap of the plan solver.

mod families;

use families::{Family, Kind, problem};
use std::time::Instant;

const FAMILIES: &[Family] = &[
    Family {
        name: "splitting 16/40/8/4",
        kind: Kind::Splitting,
        causes: 16,
        checks: 40,
        repairs: 8,
        accesses: 4,
        none: false,
    },
    Family { name: "mixed 16/40/8/4", kind: Kind::Mixed, causes: 16, checks: 40, repairs: 8, accesses: 4, none: true },
    Family {
        name: "confirming 20/20",
        kind: Kind::Confirming,
        causes: 20,
        checks: 20,
        repairs: 20,
        accesses: 0,
        none: false,
    },
    Family {
        name: "splitting 24/36/8/4",
        kind: Kind::Splitting,
        causes: 24,
        checks: 36,
        repairs: 8,
        accesses: 4,
        none: false,
    },
    Family { name: "mixed 24/36/8/4", kind: Kind::Mixed, causes: 24, checks: 36, repairs: 8, accesses: 4, none: true },
    Family {
        name: "splitting 60/60",
        kind: Kind::Splitting,
        causes: 60,
        checks: 60,
        repairs: 60,
        accesses: 0,
        none: false,
    },
];

fn main() {
    let only = std::env::args().nth(1).unwrap_or_default();
    for family in
        FAMILIES.iter().filter(|family| family.name.contains(only.trim_start_matches('-')) || only == "--bench")
    {
        let mut times = Vec::new();
        let (mut nodes, mut exact) = (Vec::new(), 0);
        for seed in 0..100 {
            let problem = problem(family, seed);
            let start = Instant::now();
            let (found, count) = bayleaf::reason::plan::try_exact(&problem, 3_000);
            times.push(start.elapsed().as_secs_f64() * 1e3);
            nodes.push(count);
            exact += usize::from(found);
        }
        times.sort_by(f64::total_cmp);
        nodes.sort();
        println!(
            "{:24} p50 {:8.2} p95 {:8.2} max {:8.2} ms   nodes {} {} {}  exact {exact}",
            family.name, times[50], times[94], times[99], nodes[50], nodes[94], nodes[99]
        );
    }
}
