//! The pages of a guide, one file a page kind: from an entry to its view.

mod a_to_z;
mod about;
mod bulletin;
mod card;
mod fault;
mod front;
mod hoses;
mod note;
mod part;
mod procedure;
mod quote;
mod reading;
mod recalibration;
mod records;
mod sequence;
mod terms;
mod units;
mod wiring;

use serde::Serialize;
use tera::Value;

use super::address;
use super::place::Place;
use super::views::frame::{POLICY, Sheet};
use crate::model::{Entry, Guide, Kind};

pub(super) use about::{COPY_PAGE, draft as copy_page};
pub(super) use card::page as card_view;

/// A page before it is rendered.
pub(super) struct Draft {
    pub(super) path: String,
    pub(super) template: &'static str,
    pub(super) sheet: Sheet,
    pub(super) view: Value,
}

impl Draft {
    /// With one more script file.
    fn with_script(mut self, path: &str) -> Self {
        self.sheet.scripts.push(path.to_owned());
        self
    }
}

/// What makes a page: reads a place, gives a draft.
type Maker<'g> = Box<dyn for<'p> Fn(Place<'p>) -> Draft + Send + Sync + 'g>;

/// A page to be made, with the path it will stand at.
pub(super) struct Order<'g> {
    pub(super) path: String,
    pub(super) make: Maker<'g>,
}

/// Everything to be made, in the order of the paths' kinds.
pub(super) fn orders(guide: &Guide) -> Vec<Order<'_>> {
    let mut orders = vec![
        order("index.html".to_owned(), front::draft),
        order("recalibration.html".to_owned(), recalibration::draft),
        order("bulletins.html".to_owned(), bulletin::register),
        order("terms.html".to_owned(), terms::draft),
        order("units.html".to_owned(), units::draft),
        order("records.html".to_owned(), records::draft),
    ];
    orders.extend(a_to_z::orders(guide));
    entries(&mut orders, guide.faults.iter(), fault::draft);
    orders.extend(
        guide.faults.iter().map(|fault| Order {
            path: quote::path(fault.id()),
            make: Box::new(move |place| quote::draft(place, fault)),
        }),
    );
    entries(&mut orders, guide.procedures.iter(), procedure::draft);
    entries(&mut orders, guide.parts.iter(), part::draft);
    entries(&mut orders, guide.circuits.iter(), hoses::draft);
    let with_hoses = guide.circuits.iter().filter(|circuit| !circuit.hoses.is_empty());
    orders.extend(with_hoses.map(|circuit| Order {
        path: hoses::crossed_path(circuit),
        make: Box::new(move |place| hoses::crossed(place, circuit)),
    }));
    entries(&mut orders, guide.wiring.iter(), wiring::draft);
    entries(&mut orders, guide.sequences.iter(), sequence::draft);
    entries(&mut orders, guide.readings.iter(), reading::draft);
    entries(&mut orders, guide.bulletins.iter(), bulletin::draft);
    entries(&mut orders, guide.notes.iter(), note::draft);
    if guide.card.is_some() {
        orders.push(order("card.html".to_owned(), card::draft));
    }
    orders
}

fn order<'g>(path: String, make: for<'p> fn(Place<'p>) -> Draft) -> Order<'g> {
    Order { path, make: Box::new(make) }
}

fn entries<'g, T: Entry + Sync + 'g>(
    orders: &mut Vec<Order<'g>>,
    all: impl Iterator<Item = &'g T>,
    make: for<'p> fn(Place<'p>, &'p T) -> Draft,
) {
    orders.extend(all.filter_map(|entry| {
        let path = address::of(T::KIND, entry.id())?;
        Some(Order { path, make: Box::new(move |place| make(place, entry)) })
    }));
}

/// Makes a draft of an entry's page.
fn entry_draft<T: Entry>(
    place: Place<'_>,
    entry: &T,
    template: &'static str,
    kind_word: String,
    view: &impl Serialize,
) -> Draft {
    let head = entry.head();
    let sheet = Sheet {
        title: entry.title().to_owned(),
        kind: template.to_owned(),
        kind_word,
        id: Some(head.id.value.clone()),
        applies_to: place.applies_to(head),
        ..frame(place)
    };
    let path = address::of(T::KIND, &head.id.value).unwrap_or_default();
    draft(path, template, sheet, view)
}

/// Makes a draft of a page that belongs to the guide as a whole.
fn guide_draft(place: Place<'_>, path: &str, template: &'static str, title: String, view: &impl Serialize) -> Draft {
    let sheet = Sheet { kind_word: title.clone(), title, kind: template.to_owned(), ..frame(place) };
    draft(path.to_owned(), template, sheet, view)
}

fn draft(path: String, template: &'static str, sheet: Sheet, view: &impl Serialize) -> Draft {
    Draft { path, template, sheet, view: Value::from_serializable(view) }
}

fn frame(place: Place<'_>) -> Sheet {
    Sheet { root: place.root.to_owned(), policy: POLICY.to_owned(), ..Sheet::default() }
}

/// The word for a kind of page.
pub(super) fn kind_word(place: Place<'_>, kind: Kind) -> String {
    place.word(match kind {
        Kind::Fault => "kind_fault",
        Kind::Procedure => "kind_procedure",
        Kind::Part => "kind_part",
        Kind::Circuit => "kind_hoses",
        Kind::WiringPath => "kind_wiring",
        Kind::Sequence => "kind_sequence",
        Kind::Reading => "kind_reading",
        Kind::Bulletin => "kind_bulletin",
        Kind::Term => "kind_term",
        _ => "kind_note",
    })
}

/// A place in a list as a number a reader counts with.
fn number(index: usize) -> u32 {
    u32::try_from(index + 1).unwrap_or(u32::MAX)
}
