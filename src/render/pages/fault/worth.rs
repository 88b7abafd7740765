//! What the plan of a fault is worth, in minutes and as a flow chart.

use num_rational::Ratio;

use super::Page;
use crate::model::Kind;
use crate::reason::FaultPlan;
use crate::reason::fault_plans::tenths_of_minutes;
use crate::reason::plan::{Plain, Rule, Times, plain_orders, times};
use crate::render::drawings::plan as chart;
use crate::render::markdown::escaped;
use crate::render::place::minutes;
use crate::render::views::fault as view;
use crate::render::views::pieces::Figure;

/// Minutes with one decimal place.
pub(in crate::render::pages) fn one_decimal(seconds: Ratio<u128>) -> String {
    let tenths = tenths_of_minutes(seconds);
    format!("{}.{}", tenths / 10, tenths % 10)
}

impl Page<'_, '_> {
    pub(super) fn minutes(&self) -> view::Minutes {
        let Some(planned) = self.plan else { return view::Minutes::default() };
        let Times { find, repair } = times(&planned.asked.problem, &planned.plan.tree);
        let whole = |seconds: u64| minutes(u32::try_from(seconds).unwrap_or(u32::MAX));
        view::Minutes {
            expected: one_decimal(planned.plan.expected),
            median: whole(find.median),
            ninetieth: whole(find.ninetieth),
            worst: whole(find.worst),
            repair_expected: one_decimal(repair.expected),
            repair_worst: whole(repair.worst),
            exact: planned.plan.exact,
            at_least: one_decimal(planned.plan.lower_bound),
            plain: self.plain_orders(planned),
        }
    }

    /// What the plain orders would take; nothing where they cannot be worked out.
    fn plain_orders(&self, planned: &FaultPlan) -> Vec<view::Plain> {
        let orders = plain_orders(&planned.asked.problem).unwrap_or_default();
        let plain = |order: Plain| {
            let best = planned.plan.expected.max(Ratio::new(1, 1_000_000));
            let more = ((order.expected / best) * Ratio::from_integer(100)).round().to_integer();
            view::Plain {
                name: self.place.word(match order.rule {
                    Rule::QuickAndProbable => "plain_quick_and_probable",
                    Rule::LikelihoodPerSecond => "plain_likelihood_per_second",
                    Rule::CheapestFirst => "plain_cheapest",
                    Rule::MostLikelyFirst => "plain_most_likely",
                }),
                expected: one_decimal(order.expected),
                more: format!("+{}\u{a0}%", more.saturating_sub(100)),
            }
        };
        orders.into_iter().map(plain).collect()
    }

    /// The plan as a flow chart.
    pub(super) fn chart(&self) -> Option<Figure> {
        let ending = |index: usize| {
            let ending = self.walk.endings.get(index);
            let repairs = ending.into_iter().flat_map(|ending| &ending.repairs);
            let repairs = repairs.filter_map(|repair| self.plan?.asked.problem.repairs.get(*repair));
            let titles = repairs.filter_map(|repair| self.place.guide.procedures.find(&repair.id));
            let titles: Vec<&str> = titles.map(|procedure| procedure.title.value.as_str()).collect();
            format!("{}: {}", self.ending_says(index), titles.join(", "))
        };
        let other_fault = |check: usize, answer: usize| {
            let answer = self.fault.checks.get(check).and_then(|check| check.answers.get(answer));
            let link = answer.and_then(|answer| answer.go_to.as_ref());
            let link = link.map(|link| self.place.link(Kind::Fault, link.as_str())).unwrap_or_default();
            (link.href, link.text)
        };
        let words = chart::Words {
            title: self.place.word("plan"),
            ending: &ending,
            other_fault: &other_fault,
            ask: self.place.word("none_left"),
        };
        let svg_html = chart::chart(self.fault, self.walk, &words)?;
        let caption_html = escaped(&self.place.word("chart_says"));
        Some(Figure { svg_html, caption_html })
    }
}
