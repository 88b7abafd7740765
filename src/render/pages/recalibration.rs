//! The recalibration register.

use super::{Draft, guide_draft};
use crate::model::{Depot, Entry, Kind, Procedure};
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
        rows: tagged.into_iter().map(|procedure| row(place, procedure)).collect(),
        depots: place.guide.depots.iter().map(|it| depot(place, it)).collect(),
    };
    guide_draft(place, "recalibration.html", "recalibration", place.word("recalibration_register"), &register)
}

fn row(place: Place<'_>, procedure: &Procedure) -> view::Row {
    view::Row {
        anchor: format!("work-{}", procedure.head.id.value),
        procedure: place.link(Kind::Procedure, procedure.id()),
        tag: place.tag(procedure),
    }
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
