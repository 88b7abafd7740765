//! The term list.

use super::{Draft, guide_draft};
use crate::model::Term;
use crate::render::place::Place;
use crate::render::views::terms as view;
use crate::text::Located;

pub(super) fn draft(place: Place<'_>) -> Draft {
    let mut terms: Vec<&Term> = place.guide.terms.iter().collect();
    terms.sort_by_key(|term| (term.word.to_lowercase(), term.head.id.value.clone()));
    let view = view::Terms { rows: terms.into_iter().map(|term| row(place, term)).collect() };
    guide_draft(place, "terms.html", "terms", place.word("terms"), &view)
}

fn row(place: Place<'_>, term: &Term) -> view::Term {
    let texts = |words: &[Located<String>]| words.iter().map(|word| word.value.clone()).collect();
    view::Term {
        anchor: format!("term-{}", term.head.id.value),
        word: term.word.value.clone(),
        means_html: place.blocks(&term.meaning, ""),
        also: texts(&term.also_said),
        avoid: texts(&term.avoid),
    }
}
