//! The recalibration register.

use super::{Draft, guide_draft};
use crate::model::{Depot, Entry, Kind, Procedure, Recalibration};
use crate::render::markdown::escaped;
use crate::render::place::Place;
use crate::render::views::recalibration as view;

pub(super) fn draft(place: Place<'_>) -> Draft {
    let mut tagged: Vec<&Procedure> = place.guide.procedures.iter().filter(|it| !it.recalibration.is_empty()).collect();
    // What needs it stands first: that is what the reader came for.
    tagged.sort_by_key(|procedure| {
        let need = procedure.recalibration.iter().map(|tag| tag.need.value).max();
        (std::cmp::Reverse(need), procedure.head.id.value.clone())
    });
    let register = view::Register {
        intro_html: format!("<p>{}</p>", escaped(&place.word("register_says"))),
        rows: tagged.into_iter().flat_map(|procedure| rows(place, procedure)).collect(),
        depots: place.guide.depots.iter().map(|it| depot(place, it)).collect(),
    };
    guide_draft(place, "recalibration.html", "recalibration", place.word("recalibration_register"), &register)
}

/// One row for all variants, or one for each group of variants with a tag of its own.
fn rows(place: Place<'_>, procedure: &Procedure) -> Vec<view::Row> {
    let anchor = format!("work-{}", procedure.head.id.value);
    let row = |(index, tag): (usize, &Recalibration)| {
        let mut link = place.link(Kind::Procedure, procedure.id());
        if let Some(named) = &tag.variants {
            link.text = format!("{} ({})", link.text, place.variants(named));
        }
        let anchor = if index == 0 { anchor.clone() } else { format!("{anchor}-{}", index + 1) };
        view::Row { anchor, procedure: link, tag: place.one_tag(procedure, tag) }
    };
    procedure.recalibration.iter().enumerate().map(row).collect()
}

fn depot(place: Place<'_>, depot: &Depot) -> view::Depot {
    let contact = depot.contact.as_ref().map(|contact| format!("<p>{}</p>", escaped(contact)));
    let test = depot.test_on_return.as_ref().map(|link| {
        let link = place.procedure(link);
        format!("<p><a href=\"{}\">{}</a></p>", escaped(&link.href), escaped(&link.text))
    });
    view::Depot {
        anchor: format!("depot-{}", depot.head.id.value),
        name: depot.name.value.clone(),
        contact_html: contact.unwrap_or_default(),
        send: depot.send.iter().map(|thing| thing.value.clone()).collect(),
        lead_time: format!("{} {}", depot.lead_days.value, place.word("working_days")),
        may_move_html: place.blocks(&depot.may_move, ""),
        test_on_return_html: test.unwrap_or_default(),
    }
}
