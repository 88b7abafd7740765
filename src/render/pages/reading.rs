//! Reading pages: how to take it, what a value means.

use super::{Draft, entry_draft, kind_word};
use crate::model::quantity::Quantity;
use crate::model::{Band, Entry, Id, Kind, Reading, SumRule, Variant, Verdict, applies};
use crate::render::calculator::Block;
use crate::render::place::Place;
use crate::render::theme::WORK;
use crate::render::views::pieces::{Link, Shown};
use crate::render::views::reading as view;

/// Width of the drawn scale.
const WIDE: u32 = 320;

pub(super) fn draft<'g>(place: Place<'g>, reading: &'g Reading) -> Draft {
    let draft = entry_draft(place, reading, "reading", kind_word(place, Kind::Reading), &page(place, reading));
    draft.with_script(WORK)
}

fn page(place: Place<'_>, reading: &Reading) -> view::Reading {
    view::Reading {
        how_html: place.blocks(&reading.how, ""),
        about_html: reading.says.as_ref().map(|says| place.blocks(says, "about")),
        state: place.state(reading.state.as_ref()),
        make_safe: Vec::new(),
        access: Vec::new(),
        tools: reading.tools.iter().map(|tool| tool.value.clone()).collect(),
        cautions: place.cautions([place.guide.cautions.as_slice()]),
        picture: place.picture(reading.picture.as_ref()),
        scales: scales(place, reading),
        bands: reading.bands.iter().map(|it| band(place, it)).collect(),
        sums: reading.sum.iter().filter_map(|sum| sum_rule(place, sum)).collect(),
        calculator: view::Calculator { id: reading.id().to_owned(), block_json: Block::of(place, [reading]).json() },
        used_by: place.mentioned_by(
            Kind::Reading,
            reading.id(),
            &[Kind::Fault, Kind::Procedure, Kind::Reading, Kind::Circuit],
        ),
        sources: place.sources(reading.bands.iter().map(|band| band.source.as_ref())),
    }
}

/// One scale for all variants, or one for each where limits differ.
fn scales(place: Place<'_>, reading: &Reading) -> Vec<view::Scale> {
    let differs = reading.bands.iter().any(|band| band.variants.is_some());
    if !differs {
        return vec![scale(place, "scale".to_owned(), None, reading.bands.iter().collect())];
    }
    let of_variant = |variant: &Variant| {
        let id = Id::new(variant.id());
        if !applies(reading.head.applies_to.as_deref(), &id) {
            return None;
        }
        let bands = reading.bands.iter().filter(|band| applies(band.variants.as_deref(), &id)).collect();
        Some(scale(place, format!("scale-{}", variant.id()), Some(variant.name.value.clone()), bands))
    };
    place.guide.variants.iter().filter_map(of_variant).collect()
}

fn scale(place: Place<'_>, id: String, variant: Option<String>, bands: Vec<&Band>) -> view::Scale {
    let drawn = Scale::of(&bands);
    let stretch = |band: &&Band| {
        let at = drawn.at(band.from.as_ref().map(|from| &from.value), 0);
        let end = drawn.at(band.to.as_ref().map(|to| &to.value), WIDE);
        let range = range(place, band, "").first;
        view::Stretch { meaning: meaning(band.verdict.value), at, wide: end.saturating_sub(at), range }
    };
    view::Scale { id, variant, stretches: bands.iter().map(stretch).collect(), ticks: drawn.ticks(place) }
}

/// Where limits lie on a drawn scale. Each edge gets the same room: the drawing shows order, not size.
struct Scale<'r> {
    edges: Vec<&'r Quantity>,
}

impl<'r> Scale<'r> {
    fn of(bands: &[&'r Band]) -> Self {
        let ends = bands.iter().flat_map(|band| [band.from.as_ref(), band.to.as_ref()]);
        let mut edges: Vec<&Quantity> = ends.flatten().map(|end| &end.value).collect();
        edges.sort_by(|left, right| left.partial_cmp(right).unwrap_or(std::cmp::Ordering::Equal));
        edges.dedup();
        Self { edges }
    }

    fn step(&self) -> u32 {
        WIDE / u32::try_from(self.edges.len() + 1).unwrap_or(1)
    }

    fn at(&self, edge: Option<&Quantity>, open: u32) -> u32 {
        let place = edge.and_then(|edge| self.edges.iter().position(|known| *known == edge));
        match (edge, place) {
            (Some(_), Some(place)) => self.step() * u32::try_from(place + 1).unwrap_or(1),
            _ => open,
        }
    }

    fn ticks(&self, place: Place<'_>) -> Vec<view::Tick> {
        let tick = |edge: &&Quantity| view::Tick {
            at: self.at(Some(edge), 0),
            shown: place.shown(edge),
            align: "middle".to_owned(),
        };
        self.edges.iter().map(tick).collect()
    }
}

fn band(place: Place<'_>, band: &Band) -> view::Band {
    let procedure = band.procedure.as_ref().map(|link| place.procedure(link));
    let fault = band.fault.as_ref().map(|link| place.link(Kind::Fault, link.as_str()));
    let variants = band.variants.as_deref().map(|named| format!("{}: ", place.variants(named))).unwrap_or_default();
    view::Band {
        meaning: meaning(band.verdict.value),
        range: range(place, band, &variants),
        says_html: crate::render::markdown::escaped(&band.says),
        then: procedure.into_iter().chain(fault).collect::<Vec<Link>>(),
    }
}

fn meaning(verdict: Verdict) -> view::Meaning {
    match verdict {
        Verdict::Fine => view::Meaning::Fine,
        Verdict::Tolerable => view::Meaning::Tolerable,
        Verdict::Act => view::Meaning::Act,
    }
}

fn range(place: Place<'_>, band: &Band, variants: &str) -> Shown {
    let from = band.from.as_ref().map(|from| place.shown(&from.value));
    let to = band.to.as_ref().map(|to| place.shown(&to.value));
    let words = |from: Option<&String>, to: Option<&String>| match (from, to) {
        (Some(from), Some(to)) => format!("{from} {} {to}", place.word("up_to")),
        (Some(from), None) => format!("{} {from}", place.word("from_up")),
        (None, Some(to)) => format!("{} {to}", place.word("below")),
        (None, None) => place.word("any_value"),
    };
    let first = words(from.as_ref().map(|it| &it.first), to.as_ref().map(|it| &it.first));
    let second_of = |shown: &Option<Shown>| shown.as_ref().and_then(|shown| shown.second.clone());
    let (from, to) = (second_of(&from), second_of(&to));
    let second = (from.is_some() || to.is_some()).then(|| words(from.as_ref(), to.as_ref()));
    Shown { first: format!("{variants}{first}"), second }
}

fn sum_rule(place: Place<'_>, sum: &SumRule) -> Option<view::Sum> {
    let total = place.guide.readings.get(&sum.total.value)?;
    let circuit = sum.circuit.as_ref().map(|link| place.link(Kind::Circuit, link.as_str()).text);
    let places = sum.places.iter().map(|place| place.value.as_str()).collect::<Vec<_>>().join(", ");
    let link = place.link(Kind::Reading, total.id());
    Some(view::Sum { of: circuit.unwrap_or(places), total: link })
}
