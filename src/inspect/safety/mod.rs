//! Safety: a caution before every hazard, and the hazard gone before the hand. Only advice, and what is read from words, can be softened.

mod caution_after_the_hazard;
mod caution_milder_than_hazard;
mod guide_without_standing_text;
mod hazard_of_no_part;
mod hazard_without_caution;
mod hazard_without_make_safe;
mod make_safe_after_exposure;
mod make_safe_without_caution;
mod opened_in_words_only;

use super::{Rule, Subject};
use crate::model::{Contact, Entry, Fault, Id};
use crate::reason::hazards::{Exposure, Site};
use crate::report::Finding;

/// The family.
pub(super) static RULES: &[&Rule] = &[
    &hazard_without_caution::RULE,
    &caution_after_the_hazard::RULE,
    &hazard_without_make_safe::RULE,
    &make_safe_after_exposure::RULE,
    &make_safe_without_caution::RULE,
    &caution_milder_than_hazard::RULE,
    &guide_without_standing_text::RULE,
    &hazard_of_no_part::RULE,
    &opened_in_words_only::RULE,
];

/// "Step 2 of `x` opens `y`".
fn told(subject: &Subject<'_>, exposure: &Exposure) -> String {
    let told = told_small(subject, exposure);
    let mut letters = told.chars();
    letters.next().map_or(String::new(), |first| first.to_uppercase().chain(letters).collect())
}

/// The same, inside a sentence.
fn told_small(subject: &Subject<'_>, exposure: &Exposure) -> String {
    let does = match exposure.contact {
        Contact::Opened => "opens",
        Contact::Moved => "moves",
        Contact::Disturbed => "disturbs",
    };
    let load = if exposure.load { ", and lets go what that carries" } else { "" };
    format!("{} {does} `{}`{load}", owner(subject, &exposure.site), exposure.part)
}

/// What a site is called.
fn owner(subject: &Subject<'_>, site: &Site) -> String {
    let fault = |id: &Id<Fault>| subject.guide.faults.get(id);
    match site {
        Site::Verify(id) => format!("the verification of `{id}`"),
        Site::Access(id, index) => {
            let access = fault(id).and_then(|fault| fault.accesses.get(*index));
            format!("the access `{}` of `{id}`", access.map_or("?", |access| access.id.value.as_str()))
        }
        Site::Check(id, index) => {
            let check = fault(id).and_then(|fault| fault.checks.get(*index));
            format!("the check `{}` of `{id}`", check.map_or("?", |check| check.id.value.as_str()))
        }
        Site::Procedure(id) => format!("the procedure `{id}`"),
        Site::Step(id, index) => format!("step {} of `{id}`", index + 1),
    }
}

/// Adds the place where the part declares the hazard.
fn pointing(subject: &Subject<'_>, finding: Finding, exposure: &Exposure) -> Finding {
    let Some(part) = subject.guide.parts.get(&exposure.part) else { return finding };
    let mut own = part.hazards.iter().map(|it| &it.hazard);
    let load = part.load.as_ref().map(|load| &load.hazard);
    let declared = if exposure.load { load } else { own.find(|link| link.value == exposure.hazard) };
    match declared {
        Some(link) => finding.with(link.span, format!("where `{}` declares the hazard", part.id())),
        None => finding,
    }
}
