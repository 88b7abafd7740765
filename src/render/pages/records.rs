//! The job records kept on the reader's device. The page is empty until its script fills it.

use super::{Draft, guide_draft};
use crate::render::place::Place;
use crate::render::theme::WORK;

pub(super) fn draft(place: Place<'_>) -> Draft {
    let mut draft = guide_draft(place, "records.html", "records", place.word("records"), &());
    draft.sheet.scripts = ["edition.js", WORK].map(str::to_owned).to_vec();
    draft
}
