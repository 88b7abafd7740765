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
    /// Percent between the plan and the bound of the certificate.
    pub certificate: f64,
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

    fn print(&self) {
        let time = self.sorted(|sample| sample.milliseconds);
        let nodes = self.sorted(|sample| sample.nodes as f64);
        let gap = self.sorted(|sample| sample.gap);
        let certificate = self.sorted(|sample| sample.certificate);
        let rollout = self.sorted(|sample| sample.rollout);
        let exact = 100 * self.samples.iter().filter(|sample| sample.exact).count() / self.samples.len();
        let orders: Vec<String> =
            (0..4).map(|at| format!("{:.0}", mean(&self.sorted(|sample| sample.orders[at])))).collect();
        println!(
            "| {} | {:.1} | {:.1} | {:.1} | {:.0} / {:.0} | {exact} | {:.1} / {:.1} | {:.1} / {:.1} | {:.1} / {:.1} | {} |",
            self.name,
            at(&time, 50),
            at(&time, 95),
            at(&time, 100),
            at(&nodes, 50),
            at(&nodes, 95),
            mean(&gap),
            at(&gap, 100),
            mean(&certificate),
            at(&certificate, 100),
            mean(&rollout),
            at(&rollout, 100),
            orders.join(" / "),
        );
    }
}

/// Prints all rows.
pub fn print(rows: &[Row]) {
    println!(
        "| family: causes/checks/repairs/accesses | ms p50 | p95 | max | nodes p50 / p95 | exact % | gap % mean / max | \
         certificate % mean / max | rollout over plan % mean / max | plain orders over plan, mean %: \
         quick and probable / likelihood per second / cheapest / most likely |"
    );
    println!("|---|---|---|---|---|---|---|---|---|---|");
    rows.iter().for_each(Row::print);
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
