//! About this copy.

use super::{Draft, guide_draft};
use crate::model::Variant;
use crate::render::place::Place;
use crate::render::views::about as view;

/// Its path: made last, since it counts the others.
pub(in crate::render) const COPY_PAGE: &str = "about.html";

/// The page, told how many pages and files there are, and the fingerprint of the others.
pub(in crate::render) fn draft(place: Place<'_>, pages: usize, files: usize, hash: &str) -> Draft {
    let count = |number: usize| u32::try_from(number).unwrap_or(u32::MAX);
    let about = view::About {
        pages: count(pages),
        files: count(files),
        hash: hash.to_owned(),
        sums: "SHA256SUMS".to_owned(),
        editions: Vec::new(),
        changes: None,
        variants: place.guide.variants.iter().map(variant).collect(),
    };
    guide_draft(place, COPY_PAGE, "about", place.word("about_copy"), &about)
}

fn variant(variant: &Variant) -> view::Variant {
    let range = |range: &crate::model::SerialRange| match &range.last {
        Some(last) => format!("{} – {}", range.first.value, last.value),
        None => format!("{} …", range.first.value),
    };
    view::Variant {
        name: variant.name.value.clone(),
        serials: variant.serials.iter().map(range).collect::<Vec<_>>().join(", "),
    }
}
