//! Wiring paths: closed from supply to ground, fused and measurable.

mod drop_over_budget;
mod fuse_over_conductor;
mod fuse_under_load;
mod path_open;
mod path_value_missing;
mod path_without_test_point;

use super::{Rule, Subject};
use crate::model::WiringPath;
use crate::reason::PathFacts;

/// The family.
pub(super) static RULES: &[&Rule] = &[
    &fuse_over_conductor::RULE,
    &fuse_under_load::RULE,
    &drop_over_budget::RULE,
    &path_without_test_point::RULE,
    &path_open::RULE,
    &path_value_missing::RULE,
];

/// Every path with its facts, once for each machine it is in; what is found on several is told once by the sink.
fn paths<'s>(subject: &'s Subject<'s>) -> impl Iterator<Item = (&'s WiringPath, &'s PathFacts)> {
    subject.guide.wiring.iter().flat_map(|path| {
        let facts = subject.facts.wiring.paths.get(path.head.id.value.as_str());
        facts.into_iter().flatten().map(move |facts| (path, facts))
    })
}
