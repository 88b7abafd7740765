//! `guide.toml`

use crate::model::{
    Depot, Edition, Escalation, Guide, Hazard, HazardKind, Id, Kind, LikelihoodWord, ProseRole, Reference,
    ReferenceKind, SerialRange, Softening, State, StateChange, UnitsFirst, Variant,
};
use crate::read::record::Record;
use crate::read::shared::SIGNALS;

const UNITS: [(&str, UnitsFirst); 2] = [("si", UnitsFirst::Si), ("us", UnitsFirst::Us)];

const HAZARDS: [(&str, HazardKind); 7] = [
    ("pressure", HazardKind::Pressure),
    ("falling-mass", HazardKind::FallingMass),
    ("closing-mass", HazardKind::ClosingMass),
    ("stored-electricity", HazardKind::StoredElectricity),
    ("hot-fluid", HazardKind::HotFluid),
    ("chemical", HazardKind::Chemical),
    ("sharp", HazardKind::Sharp),
];

const SOURCES: [(&str, ReferenceKind); 5] = [
    ("manual", ReferenceKind::Manual),
    ("bulletin", ReferenceKind::Bulletin),
    ("measurement", ReferenceKind::Measurement),
    ("standard", ReferenceKind::Standard),
    ("practice", ReferenceKind::Practice),
];

/// The whole of guide.toml.
pub(in crate::read) fn file(record: &mut Record<'_, '_>, guide: &mut Guide) {
    record.main_table("guide", "the table `[guide]` with title, edition, date, publisher, language and standing");
    if let Some((edition, cautions)) = record.child_apart("guide", edition) {
        guide.edition = edition;
        guide.cautions = cautions;
    }
    if !record.has("escalation") {
        record.missing("escalation", "the table `[escalation]`: who to ask when no answer fits");
    }
    guide.escalation = record.child_apart("escalation", escalation);
    lists(record, guide);
    guide.state_changes = record.entries("state_change", state_change);
    guide.softenings = record.entries("soften", softening);
}

fn lists(record: &mut Record<'_, '_>, guide: &mut Guide) {
    for variant in record.entries("variant", variant) {
        guide.variants.insert(Id::new(variant.head.id.value.as_str()), variant);
    }
    for depot in record.entries("depot", depot) {
        guide.depots.insert(Id::new(depot.head.id.value.as_str()), depot);
    }
    for state in record.entries("state", state) {
        guide.states.insert(Id::new(state.head.id.value.as_str()), state);
    }
    for hazard in record.entries("hazard", hazard) {
        guide.hazards.insert(Id::new(hazard.head.id.value.as_str()), hazard);
    }
    for source in record.entries("source", source) {
        guide.references.insert(Id::new(source.head.id.value.as_str()), source);
    }
    for word in record.entries("likelihood", likelihood_word) {
        guide.likelihood_words.insert(Id::new(word.head.id.value.as_str()), word);
    }
}

fn edition(record: &mut Record<'_, '_>) -> Option<(Edition, Vec<crate::model::Caution>)> {
    let title = record.line("title", ProseRole::Text, "what the guide is called");
    let number = record.word("edition", "the number of this edition, in quotes, such as \"3\"");
    let date = record.date("date");
    let publisher = record.word("publisher", "the shop that publishes the guide");
    let language = record.word("language", "the language as HTML names it, such as \"en\"");
    let edition = Edition {
        units: record.one_of_opt("units", &UNITS).map(|units| units.value).unwrap_or_default(),
        base_address: base_address(record),
        review_months: record.count_opt("review_months"),
        about: record.prose_opt("about", ProseRole::Text),
        invented: record.line_opt("invented", ProseRole::Text),
        standing: record.prose_opt("standing", ProseRole::Caution),
        opinion_jobs: record.count_opt("opinion_jobs"),
        span: record.span,
        title: title.unwrap_or_default(),
        number: number.unwrap_or_default(),
        date: date.unwrap_or_default(),
        publisher: publisher.unwrap_or_default(),
        language: language.unwrap_or_default(),
    };
    Some((edition, record.cautions()))
}

fn base_address(record: &mut Record<'_, '_>) -> Option<crate::text::Located<String>> {
    let address = record.word_opt("base_address")?;
    let web = address.value.starts_with("https://") || address.value.starts_with("http://");
    if web && address.value.ends_with('/') {
        return Some(address);
    }
    record.complain(crate::report::Finding::new(
        "unknown-word",
        address.span,
        format!("\"{}\" cannot be the address of a guide.", crate::read::links::shortened(&address.value)),
        "Write the whole address, from https:// to a `/` at the end.",
    ));
    None
}

fn escalation(record: &mut Record<'_, '_>) -> Option<Escalation> {
    let name = record.line("name", ProseRole::Text, "who to ask");
    let contact = record.word("contact", "how to reach them");
    let hours = record.word_opt("hours");
    let have_ready = record.lines("have_ready", ProseRole::Text);
    Some(Escalation { name: name?, contact: contact?, hours, have_ready, span: record.span })
}

fn variant(record: &mut Record<'_, '_>) -> Option<Variant> {
    let head = record.small_head(Kind::Variant);
    let name = record.word("name", "what the plate says");
    let serials = record.children("serials", serial_range);
    record.empty_list("serials", "the serial numbers, such as [{ first = \"A-0001\", last = \"A-0420\" }]");
    if serials.is_empty() {
        record.missing("serials", "the serial numbers, such as [{ first = \"A-0001\", last = \"A-0420\" }]");
    }
    Some(Variant { head: head?, name: name?, serials })
}

fn serial_range(record: &mut Record<'_, '_>) -> Option<SerialRange> {
    let first = record.word("first", "the first serial number");
    let last = record.word_opt("last");
    Some(SerialRange { first: first?, last })
}

fn depot(record: &mut Record<'_, '_>) -> Option<Depot> {
    let head = record.small_head(Kind::Depot);
    let name = record.line("name", ProseRole::Text, "what the depot is called");
    let lead_days = record.count("lead_days", "working days until it is back");
    let may_move = record.prose("may_move", ProseRole::Text, "whether the machine may move meanwhile");
    let contact = record.word_opt("contact");
    let send = record.lines("send", ProseRole::Text);
    let test_on_return = record.link_opt("test_on_return", Kind::Procedure);
    Some(Depot { head: head?, name: name?, contact, send, lead_days: lead_days?, may_move: may_move?, test_on_return })
}

fn state(record: &mut Record<'_, '_>) -> Option<State> {
    let head = record.small_head(Kind::State);
    let name = record.line("name", ProseRole::Text, "the state in a few words");
    let says = record.prose_opt("says", ProseRole::Text);
    let safe_from = record.links("safe_from", Kind::Hazard);
    Some(State { head: head?, name: name?, says, safe_from })
}

fn state_change(record: &mut Record<'_, '_>) -> Option<StateChange> {
    let from = record.link("from", Kind::State, "the state before");
    let to = record.link("to", Kind::State, "the state after");
    let seconds = record.minutes("minutes");
    let procedure = record.link_opt("procedure", Kind::Procedure);
    Some(StateChange { from: from?, to: to?, seconds: seconds?, procedure, span: record.span })
}

fn hazard(record: &mut Record<'_, '_>) -> Option<Hazard> {
    let head = record.small_head(Kind::Hazard);
    let kind = record.one_of("kind", &HAZARDS);
    let signal = record.one_of("signal", &SIGNALS);
    let name = record.line("name", ProseRole::Caution, "the hazard in a few words");
    let consequence = record.prose("consequence", ProseRole::Caution, "what happens to a person");
    let avoid = record.prose("avoid", ProseRole::Caution, "how to keep clear of it");
    Some(Hazard { head: head?, kind: kind?, signal: signal?, name: name?, consequence: consequence?, avoid: avoid? })
}

fn source(record: &mut Record<'_, '_>) -> Option<Reference> {
    let head = record.small_head(Kind::Source);
    let title = record.word("title", "what the source is called");
    let kind = record.one_of("kind", &SOURCES);
    let date = record.date_opt("date");
    Some(Reference { head: head?, title: title?, kind: kind?, date })
}

fn likelihood_word(record: &mut Record<'_, '_>) -> Option<LikelihoodWord> {
    let head = record.small_head(Kind::LikelihoodWord);
    let share = record.count("share", "its weight against the other words");
    Some(LikelihoodWord { head: head?, share: share? })
}

fn softening(record: &mut Record<'_, '_>) -> Option<Softening> {
    let rule = record.word("rule", "the name of the rule");
    let entry = record.word_opt("entry").and_then(|word| record.any_entry("entry", word));
    let file = record.word_opt("file");
    let because = record.word("because", "why the rule does not hold here");
    Some(Softening { rule: rule?, entry, file, because: because?, span: record.span })
}
