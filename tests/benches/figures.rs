//! Quantiles and the table.

use num_rational::Ratio;
use num_traits::ToPrimitive;

use super::families::Family;

/// One solved fault.
pub struct Sample {
    pub milliseconds: f64,
    pub nodes: u64,
    pub exact: bool,
    /// Percent between the plan and its lower bound.
    pub gap: f64,
    /// Percent by which the rollout alone is above the plan.
    pub rollout: f64,
    /// Likewise for each plain order.
    pub orders: Vec<f64>,
}

/// One family.
pub struct Row {
    name: &'static str,
    samples: Vec<Sample>,
}

impl Row {
    pub fn new(family: &Family, samples: Vec<Sample>) -> Self {
        eprintln!("{} done", family.name);
        Self { name: family.name, samples }
    }

    fn sorted(&self, value: impl Fn(&Sample) -> f64) -> Vec<f64> {
        let mut list: Vec<f64> = self.samples.iter().map(value).collect();
        list.sort_by(f64::total_cmp);
        list
    }

    /// What the table and the picture show.
    pub fn summary(&self) -> Summary {
        let three = |list: Vec<f64>| [at(&list, 50), at(&list, 95), at(&list, 100)];
        let two = |list: Vec<f64>| [mean(&list), at(&list, 100)];
        let exact = self.samples.iter().filter(|sample| sample.exact).count();
        Summary {
            name: self.name,
            faults: self.samples.len(),
            time: three(self.sorted(|sample| sample.milliseconds)),
            nodes: three(self.sorted(|sample| sample.nodes as f64)),
            exact: 100 * exact / self.samples.len(),
            gap: two(self.sorted(|sample| sample.gap)),
            rollout: two(self.sorted(|sample| sample.rollout)),
            trade: two(self.sorted(|sample| sample.orders[0])),
            orders: (0..4).map(|order| mean(&self.sorted(|sample| sample.orders[order]))).collect(),
        }
    }
}

/// The figures of one family. Three: median, 95th percentile, largest; two: mean, largest.
pub struct Summary {
    pub name: &'static str,
    pub faults: usize,
    pub time: [f64; 3],
    pub nodes: [f64; 3],
    pub exact: usize,
    pub gap: [f64; 2],
    pub rollout: [f64; 2],
    pub trade: [f64; 2],
    pub orders: Vec<f64>,
}

/// The table in Markdown.
pub fn table(rows: &[Summary]) -> String {
    let faults = rows.first().map_or(0, |row| row.faults);
    let mut out = format!(
        "| {faults} faults each: causes/checks/repairs/accesses | ms median / p95 / max | positions median / max | exact % \
         | gap % mean / max | rollout over plan, % | plain orders over plan, % |\n|---|---|---|---|---|---|---|\n"
    );
    for row in rows {
        let orders: Vec<String> = row.orders.iter().map(|order| format!("{order:.0}")).collect();
        out.push_str(&format!(
            "| {} | {:.1} / {:.1} / {:.0} | {:.0} / {:.0} | {} | {:.1} / {:.1} | {:.1} | {} |\n",
            row.name,
            row.time[0],
            row.time[1],
            row.time[2],
            row.nodes[0],
            row.nodes[2],
            row.exact,
            row.gap[0],
            row.gap[1],
            row.rollout[0],
            orders.join(" / "),
        ));
    }
    out
}

fn at(sorted: &[f64], percent: usize) -> f64 {
    sorted[(sorted.len() * percent).div_ceil(100).max(1) - 1]
}

fn mean(list: &[f64]) -> f64 {
    list.iter().sum::<f64>() / list.len() as f64
}

pub fn float(value: Ratio<u128>) -> f64 {
    let part = |number: &u128| number.to_f64().unwrap_or(f64::NAN);
    part(value.numer()) / part(value.denom())
}

/// Milliseconds of processor time of this process where the system tells it, else of the wall clock.
pub fn now() -> f64 {
    // The account is brought up to date when the thread offers to be switched.
    std::thread::yield_now();
    let told = std::fs::read_to_string("/proc/self/schedstat").ok();
    let used = told.and_then(|text| text.split(' ').next().and_then(|first| first.parse::<f64>().ok()));
    let wall = || std::time::UNIX_EPOCH.elapsed().map_or(0.0, |time| time.as_secs_f64() * 1e9);
    used.unwrap_or_else(wall) / 1e6
}
