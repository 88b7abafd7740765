//! Likelihoods from job records: a Dirichlet prior over the causes of one fault, counts of confirmed causes, and what
//! follows. Only confirmed causes are counted: "replaced it and it works now" is not a confirmation.
//!
//! Figures for people, in floating point. The beta distribution's tail is the continued fraction of the incomplete
//! beta function; its inverse is found by halving, so every figure can be checked against any statistics table.

/// What is known about one cause.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Likelihood {
    /// Posterior mean.
    pub mean: f64,
    /// Posterior standard deviation.
    pub deviation: f64,
    /// 90 % interval: the posterior's 5th and 95th percentile.
    pub interval: (f64, f64),
    /// Confirmed jobs behind it.
    pub count: u64,
}

/// Likelihoods of the causes of one fault.
#[derive(Debug, Clone, PartialEq)]
pub struct Likelihoods {
    /// One per cause, in the order given.
    pub causes: Vec<Likelihood>,
    /// All confirmed jobs.
    pub jobs: u64,
    /// How surprising the records are under the writer's opinion, see [`disagreement`]; 1 without records.
    pub p_value: f64,
    /// Place of the cause whose count is the most surprising; the first of several.
    pub furthest: usize,
    /// The writer's opinion of each cause, as a likelihood.
    pub opinion: Vec<f64>,
}

/// Joins the writer's shares, worth `pseudo_jobs` jobs together, with counts of confirmed causes.
///
/// Shares need not be normalised; without any, all causes are taken as alike. The lists must be of one length, and
/// `pseudo_jobs` positive: otherwise nothing can be said and `None` comes back.
pub fn from_records(shares: &[f64], pseudo_jobs: f64, counts: &[u64]) -> Option<Likelihoods> {
    let valid = |share: &f64| share.is_finite() && *share >= 0.0;
    if shares.is_empty() || shares.len() != counts.len() || !shares.iter().all(valid) {
        return None;
    }
    if !(pseudo_jobs.is_finite() && pseudo_jobs > 0.0) {
        return None;
    }
    let prior = prior(shares, pseudo_jobs);
    let total: f64 = prior.iter().zip(counts).map(|(a, n)| a + *n as f64).sum();
    let cause = |(a, count): (&f64, &u64)| {
        let own = a + *count as f64;
        beta(own, total - own, *count)
    };
    Some(Likelihoods {
        causes: prior.iter().zip(counts).map(cause).collect(),
        jobs: counts.iter().sum(),
        p_value: disagreement(&prior, counts),
        furthest: furthest(&tails(&prior, counts)),
        opinion: prior.iter().map(|a| a / pseudo_jobs).collect(),
    })
}

fn prior(shares: &[f64], pseudo_jobs: f64) -> Vec<f64> {
    let largest = shares.iter().copied().fold(0.0, f64::max);
    let scaled = |share: &f64| if largest > 0.0 { share / largest } else { 1.0 };
    let sum: f64 = shares.iter().map(scaled).sum();
    shares.iter().map(|share| scaled(share) / sum * pseudo_jobs).collect()
}

/// The marginal of one cause: a beta distribution.
fn beta(a: f64, b: f64, count: u64) -> Likelihood {
    let total = a + b;
    let mean = a / total;
    let deviation = (mean * (1.0 - mean) / (total + 1.0)).sqrt();
    Likelihood { mean, deviation, interval: (beta_quantile(a, b, 0.05), beta_quantile(a, b, 0.95)), count }
}

/// Prior-predictive test of the records against the writer's opinion (Box 1980, cited from memory): how likely a
/// surprise at least as large as the largest seen would be if the opinion were right.
///
/// Each cause's count is held against the beta-binomial distribution that its prior implies, two-sided; the smallest
/// chance is multiplied by the number of causes (Bonferroni), so the result errs on the side of agreement.
pub fn disagreement(prior: &[f64], counts: &[u64]) -> f64 {
    let least = tails(prior, counts).into_iter().fold(1.0, f64::min);
    (least * prior.len() as f64).min(1.0)
}

/// Place of the smallest number, the first of several; 0 of none.
fn furthest(tails: &[f64]) -> usize {
    (0..tails.len()).min_by(|a, b| tails[*a].total_cmp(&tails[*b])).unwrap_or(0)
}

/// How surprising each cause's count is.
fn tails(prior: &[f64], counts: &[u64]) -> Vec<f64> {
    let (weight, jobs): (f64, u64) = (prior.iter().sum(), counts.iter().sum());
    // Beyond this many jobs the counts are scaled down: far from any shop's records, and it bounds the work.
    let (jobs, shrink) = if jobs > 10_000 { (10_000, 10_000.0 / jobs as f64) } else { (jobs, 1.0) };
    let tail = |(a, count): (&f64, &u64)| {
        let seen = ((*count as f64 * shrink).round() as u64).min(jobs);
        two_sided(*a, weight - a, jobs, seen)
    };
    prior.iter().zip(counts).map(tail).collect()
}

/// Chance of a beta-binomial count at most as likely as `seen`.
fn two_sided(a: f64, b: f64, jobs: u64, seen: u64) -> f64 {
    if a <= 0.0 || b <= 0.0 {
        let certain = if a <= 0.0 { 0 } else { jobs };
        return if seen == certain { 1.0 } else { 0.0 };
    }
    let log = |k: u64| {
        let (k, n) = (k as f64, jobs as f64);
        ln_gamma(n + 1.0) - ln_gamma(k + 1.0) - ln_gamma(n - k + 1.0) + ln_beta(a + k, b + n - k) - ln_beta(a, b)
    };
    let here = log(seen) + 1e-9;
    (0..=jobs).map(log).filter(|log| *log <= here).map(f64::exp).sum::<f64>().min(1.0)
}

fn ln_beta(a: f64, b: f64) -> f64 {
    ln_gamma(a) + ln_gamma(b) - ln_gamma(a + b)
}

/// Logarithm of the gamma function for positive numbers: Stirling's series after shifting the argument up.
fn ln_gamma(mut x: f64) -> f64 {
    let mut shift = 0.0;
    while x < 12.0 {
        shift += x.ln();
        x += 1.0;
    }
    let (inverse, square) = (1.0 / x, 1.0 / (x * x));
    let series = inverse * (1.0 / 12.0 - square * (1.0 / 360.0 - square * (1.0 / 1260.0 - square / 1680.0)));
    (x - 0.5) * x.ln() - x + 0.5 * (2.0 * std::f64::consts::PI).ln() + series - shift
}

/// The value below which a beta distribution has the given part.
pub fn beta_quantile(a: f64, b: f64, part: f64) -> f64 {
    if a <= 0.0 {
        return 0.0;
    }
    if b <= 0.0 {
        return 1.0;
    }
    let (mut low, mut high) = (0.0, 1.0);
    for _ in 0..80 {
        let middle = 0.5 * (low + high);
        if beta_below(a, b, middle) < part { low = middle } else { high = middle }
    }
    0.5 * (low + high)
}

/// Regularised incomplete beta function: the part of a beta distribution below `x`.
pub fn beta_below(a: f64, b: f64, x: f64) -> f64 {
    if x <= 0.0 || x >= 1.0 {
        return if x <= 0.0 { 0.0 } else { 1.0 };
    }
    // The fraction settles fast on one side only, so the other one is turned round, once.
    if x > (a + 1.0) / (a + b + 2.0) { 1.0 - below(b, a, 1.0 - x) } else { below(a, b, x) }
}

fn below(a: f64, b: f64, x: f64) -> f64 {
    let front = (a * x.ln() + b * (1.0 - x).ln() - ln_beta(a, b)).exp() / a;
    (front / fraction(a, b, x)).clamp(0.0, 1.0)
}

/// The continued fraction 1 + d1/(1 + d2/(1 + ...)), evaluated from its far end (Abramowitz & Stegun 26.5.8, cited
/// from memory).
fn fraction(a: f64, b: f64, x: f64) -> f64 {
    let terms = 200 + (a + b).sqrt().min(20_000.0) as usize;
    let term = |n: usize| {
        let m = (n / 2) as f64;
        if n.is_multiple_of(2) {
            m * (b - m) * x / ((a + 2.0 * m - 1.0) * (a + 2.0 * m))
        } else {
            -(a + m) * (a + b + m) * x / ((a + 2.0 * m) * (a + 2.0 * m + 1.0))
        }
    };
    (1..=terms).rev().fold(1.0, |rest, n| 1.0 + term(n) / rest)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn close(left: f64, right: f64, within: f64) {
        assert!((left - right).abs() <= within, "{left} is not {right}");
    }

    #[test]
    fn three_causes_with_twenty_jobs() {
        // Dirichlet (5, 3, 2) and counts (12, 1, 7); figures recomputed elsewhere with other code.
        let found = from_records(&[50.0, 30.0, 20.0], 10.0, &[12, 1, 7]).unwrap();
        let rows = [(0.566667, 0.0890, 0.417, 0.711), (0.133333, 0.0611, 0.049, 0.246), (0.3, 0.0823, 0.172, 0.443)];
        for (cause, (mean, deviation, low, high)) in found.causes.iter().zip(rows) {
            close(cause.mean, mean, 1e-6);
            close(cause.deviation, deviation, 6e-5);
            close(cause.interval.0, low, 6e-4);
            close(cause.interval.1, high, 6e-4);
        }
        assert_eq!(found.jobs, 20);
    }

    #[test]
    fn one_cause_against_the_rest() {
        // Beta (2, 18) and 7 of 30 gives Beta (9, 41): mean .18, 90 % .099 to .275; recomputed elsewhere.
        let found = from_records(&[0.1, 0.9], 20.0, &[7, 23]).unwrap();
        close(found.causes[0].mean, 0.18, 1e-12);
        close(found.causes[0].interval.0, 0.099, 6e-4);
        close(found.causes[0].interval.1, 0.275, 6e-4);
    }

    #[test]
    fn incomplete_beta_at_known_points() {
        // Elementary: Beta (1, 1) is uniform, Beta (n, 1) is x^n, Beta (1/2, 1/2) is the arcsine law; and symmetry.
        close(beta_below(1.0, 1.0, 0.3), 0.3, 1e-12);
        close(beta_below(5.0, 1.0, 0.5), 0.03125, 1e-12);
        close(beta_below(0.5, 0.5, 0.25), 1.0 / 3.0, 1e-9);
        close(beta_below(700.0, 700.0, 0.5), 0.5, 1e-9);
        close(beta_below(2.0, 3.0, 0.4), 0.5248, 1e-12);
        close(ln_gamma(0.5), std::f64::consts::PI.sqrt().ln(), 1e-12);
        close(ln_gamma(10.0), 362_880_f64.ln(), 1e-12);
    }

    #[test]
    fn opinion_and_records_disagree_only_when_they_do() {
        assert_eq!(from_records(&[5.0, 3.0, 2.0], 10.0, &[0, 0, 0]).unwrap().p_value, 1.0);
        assert!(from_records(&[5.0, 3.0, 2.0], 10.0, &[10, 6, 4]).unwrap().p_value > 0.5);
        let against = from_records(&[9.0, 1.0], 20.0, &[2, 28]).unwrap();
        assert!(against.p_value < 0.01);
        close(against.opinion[0], 0.9, 1e-12);
        close(against.opinion[1], 0.1, 1e-12);
        assert_eq!(from_records(&[5.0, 3.0, 2.0], 10.0, &[9, 2, 19]).unwrap().furthest, 2);
        // Elementary: under Beta (1, 1) every count of n is equally likely, so nothing is surprising.
        close(two_sided(1.0, 1.0, 9, 0), 1.0, 1e-9);
        // Elementary: under Beta (2, 1), k of 2 has chances 1/6, 2/6, 3/6.
        close(two_sided(2.0, 1.0, 2, 1), 0.5, 1e-9);
    }

    #[test]
    fn odd_input_is_refused_or_harmless() {
        assert_eq!(from_records(&[], 10.0, &[]), None);
        assert_eq!(from_records(&[1.0], 10.0, &[1, 2]), None);
        assert_eq!(from_records(&[1.0, f64::NAN], 10.0, &[1, 2]), None);
        assert_eq!(from_records(&[1.0], 0.0, &[1]), None);
        let found = from_records(&[0.0, 0.0], 10.0, &[1, u64::MAX / 4]).unwrap();
        assert!(found.causes.iter().all(|cause| cause.mean.is_finite() && cause.interval.0.is_finite()));
        let found = from_records(&[1e300, 0.0], 10.0, &[0, 3]).unwrap();
        close(found.causes[1].mean, 3.0 / 13.0, 1e-12);
        assert_eq!(found.p_value, 0.0);
    }
}
