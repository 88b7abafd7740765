//! The published search: the entries with their tags, and the pages of the guide as a whole.

use super::documents;
use super::place::Place;
use super::search::{Document, Guide, Kind};
use crate::model::{self, Entry, Need, Procedure, Varied, quantity::Quantity};

/// The kind of the pages that stand for no entry of their own.
pub(super) const REGISTER: &str = "register";

/// Below every entry of the same rank: who names a register finds it by its title.
const BOOST: u16 = 90;

/// Everything the search index is made from.
pub(super) fn search_guide(place: Place<'_>) -> Guide {
    let mut guide = documents::guide_of(place.guide, place.facts);
    for procedure in place.guide.procedures.iter() {
        let url = super::address::of(model::Kind::Procedure, procedure.id());
        let page = guide.documents.iter_mut().find(|document| Some(&document.url) == url.as_ref());
        page.into_iter().for_each(|page| page.tags = tags(place, procedure));
    }
    guide.kinds.push(Kind { id: REGISTER.to_owned(), boost: BOOST, is_work: false });
    guide.documents.extend(registers(place));
    guide
}

fn tags(place: Place<'_>, procedure: &Procedure) -> Vec<String> {
    let needed = procedure.recalibration.iter().any(|tag| tag.need.value != Need::None);
    needed.then(|| place.tag(procedure).word).into_iter().collect()
}

fn registers(place: Place<'_>) -> Vec<Document> {
    let register = |url: &str, title: String, body: String| Document {
        url: url.to_owned(),
        kind: REGISTER.to_owned(),
        title,
        body,
        ..Document::default()
    };
    let mut found = vec![
        register("recalibration.html", place.word("recalibration_register"), place.word("recalibration")),
        register("bulletins.html", place.word("bulletins"), String::new()),
        register("terms.html", place.word("terms"), place.word("words_used")),
        register("about.html", place.word("about_copy"), about(place)),
    ];
    let depots = place.guide.depots.iter();
    found.extend(depots.map(|depot| {
        let url = format!("recalibration.html#depot-{}", depot.id());
        register(&url, depot.title().to_owned(), depot_says(place, depot))
    }));
    found.extend(place.guide.card.as_ref().map(|card| {
        register(
            "card.html",
            card.title.value.clone(),
            format!("{} {}", place.word("kind_card"), card_says(place, card)),
        )
    }));
    found
}

fn about(place: Place<'_>) -> String {
    let edition = &place.guide.edition;
    let variants = place.guide.variants.iter().map(|variant| variant.name.value.clone());
    let words = ["edition", "verify_copy", "serials"].map(|key| place.word(key));
    let parts = words.into_iter().chain([edition.number.value.clone(), edition.date.value.to_string()]).chain(variants);
    parts.collect::<Vec<_>>().join(" ")
}

fn depot_says(place: Place<'_>, depot: &model::Depot) -> String {
    let key = model::EntryKey { kind: model::Kind::Depot, id: depot.id().to_owned() };
    let sites = place.guide.index.prose.iter().filter(|site| site.from.as_ref() == Some(&key));
    let texts = sites.map(|site| site.text.as_str()).collect::<Vec<_>>().join("\n");
    format!("{} {}", place.word("recalibration"), super::markdown::plain(&texts, &place))
}

/// What stands on the card: its texts, and of what it lists the names and figures.
fn card_says(place: Place<'_>, card: &model::Card) -> String {
    let mut said = Vec::new();
    for block in &card.blocks {
        said.extend(block.title.as_ref().map(|title| title.value.clone()));
        said.extend(block.says.as_ref().map(|says| place.plain(says)));
        let readings = block.readings.iter().filter_map(|link| place.guide.readings.get(&link.value));
        said.extend(readings.map(|reading| reading.title().to_owned()));
        for part in block.parts.iter().filter_map(|link| place.guide.parts.get(&link.value)) {
            said.push(part.title().to_owned());
            said.extend(figures(&part.torque));
            said.extend(part.specs.iter().flat_map(|spec| figures(&spec.values)));
            said.extend(part.fluid.iter().flat_map(|fluid| figures(&fluid.capacity)));
        }
    }
    said.join("\n")
}

fn figures(values: &Varied<Quantity>) -> impl Iterator<Item = String> + '_ {
    values.iter().map(|value| value.value.value.to_string())
}
