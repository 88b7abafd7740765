//! The job records kept on the reader's device. The page is empty until its script fills it.

use super::{Draft, guide_draft};
use crate::render::place::Place;

pub(super) fn draft(place: Place<'_>) -> Draft {
    let mut draft = guide_draft(place, "records.html", "records", place.word("records"), &());
    draft.sheet.scripts = ["edition.js", "script/record.js"].map(str::to_owned).to_vec();
    draft
}
