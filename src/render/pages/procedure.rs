//! Procedure pages: tag and cautions stand before step 1.

use std::collections::BTreeSet;

use super::{Draft, entry_draft, number};
use crate::model::{Cause, CheckAgain, Consumable, Entry, Fault, Kind, Part, Procedure, Recalibration, Step};
use crate::render::markdown::escaped;
use crate::render::place::{Place, minutes};
use crate::render::theme::WORK;
use crate::render::views::pieces::{Link, Supply, Tag};
use crate::render::views::procedure as view;

pub(super) fn draft<'g>(place: Place<'g>, procedure: &'g Procedure) -> Draft {
    let word = place.work_word(procedure.kind.value);
    let mut draft = entry_draft(place, procedure, "procedure", word, &page(place, procedure));
    draft.sheet.scripts = ["edition.js", WORK].map(str::to_owned).to_vec();
    draft
}

fn page(place: Place<'_>, procedure: &Procedure) -> view::Procedure {
    let guide_wide = place.guide.cautions.as_slice();
    let hazards = procedure.makes_safe.iter().filter_map(|link| place.guide.hazards.get(&link.value));
    let makes_safe: Vec<String> = hazards.map(|hazard| hazard.name.value.clone()).collect();
    let has_tag = !procedure.recalibration.is_empty();
    let faults = place.mentioning(Kind::Procedure, procedure.id(), &[Kind::Fault]);
    let faults = || faults.iter().filter_map(|key| place.guide.faults.find(&key.id));
    view::Procedure {
        summary_html: procedure.says.as_ref().map(|says| place.blocks(says, "")),
        tags: tags(place, procedure),
        tag: has_tag.then(|| place.tag(procedure)),
        cautions: place.cautions([procedure.cautions.as_slice(), guide_wide]),
        state: place.state(procedure.state.as_ref()),
        make_safe: procedure.make_safe.iter().map(|link| place.procedure(link)).collect(),
        makes_safe: (!makes_safe.is_empty()).then(|| makes_safe.join(", ")),
        minutes: minutes(procedure.seconds.value),
        tools: procedure.tools.iter().map(|tool| tool.value.clone()).collect(),
        works_on: touched(place, procedure).map(|part| supply(place, part)).collect(),
        take: take(place, procedure),
        steps: procedure.steps.iter().enumerate().map(|(index, it)| step(place, index, it)).collect(),
        check_after: check_after(place, procedure),
        check_after_says: check_after_says(procedure),
        test_html: function_test(place, procedure),
        release_html: procedure.release.as_ref().map(|release| place.blocks(release, "")),
        mends: faults().filter_map(|fault| mended(place, procedure, fault)).collect(),
        used_by: (faults().filter(|fault| !mends(procedure, fault)))
            .map(|fault| walk_of(place, fault))
            .chain(place.mentioned_by(Kind::Procedure, procedure.id(), &[Kind::Procedure, Kind::Reading, Kind::Depot]))
            .collect(),
        bulletins: place.bulletins(&procedure.head),
        sources: sources(place, procedure),
    }
}

/// The causes of a fault that the procedure puts right.
fn causes_mended<'g>(procedure: &Procedure, fault: &'g Fault) -> impl Iterator<Item = &'g Cause> {
    let id = procedure.id();
    fault.causes.iter().filter(move |cause| cause.repair.as_ref().is_some_and(|repair| repair.as_str() == id))
}

fn mends(procedure: &Procedure, fault: &Fault) -> bool {
    causes_mended(procedure, fault).next().is_some()
}

/// A fault that the procedure puts right, with the causes it is for.
fn mended(place: Place<'_>, procedure: &Procedure, fault: &Fault) -> Option<view::Mended> {
    let walk = walk_of(place, fault);
    let page = place.link(Kind::Fault, fault.id()).href;
    let cause =
        |cause: &Cause| Link { href: format!("{page}#cause-{}", cause.id.value), text: cause.says.value.clone() };
    let causes: Vec<Link> = causes_mended(procedure, fault).map(cause).collect();
    (!causes.is_empty()).then_some(view::Mended { walk, causes })
}

/// A fault where its walk stands. Without script that is the top of the page.
fn walk_of(place: Place<'_>, fault: &Fault) -> Link {
    let link = place.link(Kind::Fault, fault.id());
    Link { href: format!("{}#walk", link.href), ..link }
}

/// What is checked again after the work, as links.
pub(super) fn check_after(place: Place<'_>, procedure: &Procedure) -> Vec<Link> {
    procedure.check_again.iter().filter_map(|again| check_again(place, again)).collect()
}

/// What is checked again after the work, in words.
pub(super) fn check_after_says(procedure: &Procedure) -> Vec<String> {
    procedure.check_again.iter().filter_map(|again| again.says.as_ref()).map(|says| says.value.clone()).collect()
}

/// One tag, or one for each group of variants, which it then names.
fn tags(place: Place<'_>, procedure: &Procedure) -> Vec<Tag> {
    let tag = |tag: &Recalibration| {
        let mut shown = place.one_tag(procedure, tag);
        if let Some(named) = &tag.variants {
            shown.word = format!("{}: {}", place.variants(named), shown.word);
        }
        shown
    };
    procedure.recalibration.iter().map(tag).collect()
}

fn sources(place: Place<'_>, procedure: &Procedure) -> Vec<crate::render::views::pieces::Source> {
    let tags = procedure.recalibration.iter().map(|tag| tag.source.as_ref());
    let torques = procedure.steps.iter().flat_map(|step| &step.torque).map(|torque| torque.source.as_ref());
    place.sources(tags.chain(torques))
}

/// What is opened or disturbed, each part once.
fn touched<'g>(place: Place<'g>, procedure: &'g Procedure) -> impl Iterator<Item = &'g Part> {
    let touches = procedure.steps.iter().map(|step| &step.touches).chain([&procedure.touches]);
    let links = touches.flat_map(|touches| touches.opens.iter().chain(&touches.disturbs));
    let mut seen = BTreeSet::new();
    links.filter_map(|link| place.guide.parts.get(&link.value)).filter(move |part| seen.insert(part.id()))
}

/// What has to be taken along: consumables, and the single-use seals of the parts touched. A part that is only worked
/// on is none of it.
pub(super) fn take(place: Place<'_>, procedure: &Procedure) -> Vec<Supply> {
    let seals = touched(place, procedure).flat_map(|part| &part.single_use_seals);
    let seals: Vec<&Part> = seals.filter_map(|seal| place.guide.parts.get(&seal.value)).collect();
    let once = |href: &str| seals.iter().any(|seal| place.link(Kind::Part, seal.id()).href == href);
    let used = procedure.consumables.iter().map(|consumable| consumed(place, consumable));
    let mut supplies: Vec<Supply> = used.map(|used| Supply { once: once(&used.link.href), ..used }).collect();
    for seal in &seals {
        let supply = Supply { once: true, ..supply(place, seal) };
        if !supplies.iter().any(|known| known.link.href == supply.link.href) {
            supplies.push(supply);
        }
    }
    supplies
}

fn supply(place: Place<'_>, part: &Part) -> Supply {
    Supply {
        link: place.link(Kind::Part, part.id()),
        number: part.number.as_ref().map(|number| number.value.clone()).unwrap_or_default(),
        ..Supply::default()
    }
}

fn consumed(place: Place<'_>, consumable: &Consumable) -> Supply {
    let part = consumable.part.as_ref().and_then(|link| place.guide.parts.get(&link.value));
    let named = || consumable.name.as_ref().map(|name| name.value.clone()).unwrap_or_default();
    let amount = place.varied(&consumable.amount).map(|shown| match shown.second {
        Some(second) => format!("{} ({second})", shown.first),
        None => shown.first,
    });
    let count = consumable.count.as_ref().map(|count| format!("{} ×", count.value));
    Supply {
        amount: [count, amount].into_iter().flatten().collect::<Vec<_>>().join(" "),
        ..part.map_or_else(
            || Supply { link: Link { text: named(), ..Link::default() }, ..Supply::default() },
            |part| supply(place, part),
        )
    }
}

/// Where the torques of a step come from, each once.
fn sourced(place: Place<'_>, step: &Step) -> String {
    let sources = place.sources(step.torque.iter().map(|torque| torque.source.as_ref()));
    let linked = sources.iter().map(|source| match &source.href {
        Some(href) => format!("<a href=\"{}\">{}</a>", escaped(href), escaped(&source.text)),
        None => escaped(&source.text),
    });
    linked.collect::<Vec<_>>().join("; ")
}

fn step(place: Place<'_>, index: usize, step: &Step) -> view::Step {
    let mut action = place.blocks_opt(step.action.as_ref());
    if let Some(torque) = place.varied(&step.torque) {
        let shown = escaped(&joined(&torque.first, torque.second.as_deref()));
        let label = escaped(&place.word("torque"));
        action.push_str(&format!(
            "<p><b>{label}:</b> {shown} <span class=\"source\">{}</span></p>",
            sourced(place, step)
        ));
    }
    if let Some(wait) = &step.wait {
        action.push_str(&noted(&place.word("wait"), &wait.value.written()));
    }
    if let Some(reading) = &step.reading {
        let link = place.link(Kind::Reading, reading.as_str());
        let linked = format!("<a href=\"{}\">{}</a>", escaped(&link.href), escaped(&link.text));
        action.push_str(&format!("<p><b>{}:</b> {linked}</p>", escaped(&place.word("reading"))));
    }
    if let Some(expect) = &step.expect {
        action.push_str(&format!(
            "<div class=\"expect\"><b>{}:</b> {}</div>",
            escaped(&place.word("expect")),
            place.inline(expect)
        ));
    }
    view::Step {
        number: number(index),
        action_html: action,
        cautions: place.cautions([step.cautions.as_slice()]),
        runs: step.run.as_ref().map(|link| place.procedure(link)),
        wait_seconds: step.wait.as_ref().and_then(|wait| u32::try_from(wait.value.base().ceil().to_integer()).ok()),
        picture: place.picture(step.picture.as_ref()),
    }
}

fn noted(label: &str, value: &str) -> String {
    format!("<p><b>{}:</b> {}</p>", escaped(label), escaped(value))
}

fn joined(first: &str, second: Option<&str>) -> String {
    second.map_or(first.to_owned(), |second| format!("{first} ({second})"))
}

fn check_again(place: Place<'_>, again: &CheckAgain) -> Option<Link> {
    if let Some(reading) = &again.reading {
        return Some(place.link(Kind::Reading, reading.as_str()));
    }
    if let Some(procedure) = &again.procedure {
        return Some(place.procedure(procedure));
    }
    let (fault, check) = again.check.as_ref()?;
    let mut link = place.link(Kind::Fault, fault.as_str());
    let asked = check.as_ref().and_then(|check| {
        let fault = place.guide.faults.get(&fault.value)?;
        fault.checks.iter().find(|known| known.id.value == check.as_str())
    });
    if let Some(check) = asked {
        link.text = check.ask.value.clone();
    }
    Some(link)
}

fn function_test(place: Place<'_>, procedure: &Procedure) -> Option<String> {
    let test = procedure.function_test.as_ref()?;
    let mut html = place.blocks_opt(test.says.as_ref());
    if let Some(link) = &test.procedure {
        let link = place.procedure(link);
        html.push_str(&format!("<p><a href=\"{}\">{}</a></p>", escaped(&link.href), escaped(&link.text)));
    }
    Some(html)
}
