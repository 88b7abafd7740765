//! What the calculators of a page need, as one JSON block: the readings with their bands, the units of their kinds, and
//! the words. The script works it out; `reason::readings` says the same.

use std::collections::{BTreeMap, BTreeSet};

use serde::Serialize;

use super::place::Place;
use super::views::pieces::Link;
use crate::model::quantity::{Dimension, Exact, System, Unit, units_of};
use crate::model::{
    Band, Circuit, Entry, Fault, Id, Kind, Link as Mention, Reading, SumRule, Variant, Verdict, applies,
};
use crate::reason::readings::{Refusal, range_of};

/// Everything the calculators of one page need.
#[derive(Debug, Default, Serialize)]
pub(super) struct Block {
    words: BTreeMap<String, String>,
    /// By kind: symbol, factor, offset, ways to write it, whether capitals are forgiven.
    units: BTreeMap<&'static str, Vec<Row>>,
    readings: BTreeMap<String, Data>,
    #[serde(skip_serializing_if = "Option::is_none")]
    path: Option<Path>,
}

type Row = (&'static str, String, String, Vec<String>, bool);

#[derive(Debug, Serialize)]
struct Data {
    name: String,
    kind: &'static str,
    unit: &'static str,
    /// Units to choose from, the reading's own first.
    offers: Vec<&'static str>,
    state: Option<String>,
    least: Option<String>,
    most: Option<String>,
    bands: Vec<BandData>,
    /// Id and name of the variants, where they matter.
    variants: Vec<(String, String)>,
    sum: Option<SumData>,
    /// The reading whose values this one is the total of.
    of: Option<String>,
    level: Option<LevelData>,
}

#[derive(Debug, Serialize)]
struct BandData {
    id: String,
    verdict: &'static str,
    says: String,
    from: Option<String>,
    to: Option<String>,
    variants: Option<Vec<String>>,
    then: Vec<Link>,
}

#[derive(Debug, Serialize)]
struct SumData {
    /// Each place with the variants that have it.
    places: Vec<(String, Option<Vec<String>>)>,
    total: String,
}

/// A level that depends on which rods are out.
#[derive(Debug, Serialize)]
pub(super) struct LevelData {
    /// Surface of the fluid, in square metres.
    pub(super) surface: String,
    /// Each actuator with the volume of its rod when it is out, in cubic metres.
    pub(super) rods: Vec<(String, String)>,
}

/// A wiring path for the calculator of what is lost between its test points.
#[derive(Debug, Serialize)]
pub(super) struct Path {
    pub(super) points: Vec<String>,
    /// For each stretch between two points: what its wires lose, in volt; `None` across the load.
    pub(super) may: Vec<Option<String>>,
    pub(super) budget: Option<String>,
}

impl Block {
    /// The block of some readings; totals and what counts towards them come along.
    pub(super) fn of<'g>(place: Place<'g>, readings: impl IntoIterator<Item = &'g Reading>) -> Self {
        let mut block = Self { words: words(place), ..Self::default() };
        for reading in readings {
            let total = reading.sum.as_ref().and_then(|sum| place.guide.readings.get(&sum.total.value));
            for reading in [Some(reading), total, counts_towards(place, reading)].into_iter().flatten() {
                block.take(place, reading);
            }
        }
        block
    }

    /// The block of all units.
    pub(super) fn of_units(place: Place<'_>) -> Self {
        let units = DIMENSIONS.iter().map(|(dimension, key)| (*key, rows(*dimension))).collect();
        Self { words: words(place), units, ..Self::default() }
    }

    /// The block of a wiring path.
    pub(super) fn of_path(place: Place<'_>, path: Path) -> Self {
        let units = BTreeMap::from([("voltage", rows(Dimension::Voltage))]);
        Self { words: words(place), units, path: Some(path), ..Self::default() }
    }

    /// As JSON that is safe inside a script element.
    pub(super) fn json(&self) -> String {
        serde_json::to_string(self).unwrap_or_default().replace('<', "\\u003c")
    }

    /// The readings of a fault's checks as a statement of a script.
    pub(super) fn statement(place: Place<'_>, fault: &Fault) -> String {
        let links = fault.checks.iter().filter_map(|check| check.reading.as_ref());
        let block = Self::of(place, links.filter_map(|link| place.guide.readings.get(&link.value)));
        if block.readings.is_empty() { String::new() } else { format!("Bayleaf.readings={};\n", block.json()) }
    }

    fn take(&mut self, place: Place<'_>, reading: &Reading) {
        let dimension = reading.unit.value.dimension();
        self.units.entry(key_of(dimension)).or_insert_with(|| rows(dimension));
        self.readings.insert(reading.id().to_owned(), data(place, reading));
    }
}

fn words(place: Place<'_>) -> BTreeMap<String, String> {
    let refusals = Refusal::ALL.iter().map(|refusal| (refusal.key().to_owned(), place.theme.word(typed_key(*refusal))));
    let others = OTHER_WORDS.iter().map(|key| (key.trim_start_matches("calc_").to_owned(), place.theme.word(key)));
    refusals.chain(others).map(|(key, word)| (key, word.to_owned())).collect()
}

const OTHER_WORDS: [&str; 20] = [
    "fine",
    "tolerable",
    "act",
    "variant",
    "state",
    "calc_unit_word",
    "calc_clear",
    "calc_no_band",
    "calc_which_variant",
    "calc_total",
    "calc_missing",
    "calc_so_far",
    "calc_rods_out",
    "calc_with_rods_in",
    "calc_lost_all",
    "calc_may_lose",
    "calc_within",
    "calc_over",
    "calc_gains",
    "calc_worst",
];

fn typed_key(refusal: Refusal) -> &'static str {
    match refusal {
        Refusal::Empty => "typed_empty",
        Refusal::NoNumber => "typed_no_number",
        Refusal::BadNumber => "typed_bad_number",
        Refusal::Comma => "typed_comma",
        Refusal::TooLarge => "typed_too_large",
        Refusal::Unit => "typed_unit",
        Refusal::Below => "typed_below",
        Refusal::Far => "typed_far",
    }
}

fn data(place: Place<'_>, reading: &Reading) -> Data {
    let unit = reading.unit.value.unit();
    let range = range_of(reading);
    let sum = reading.sum.as_ref().map(|sum| sum_data(place, sum));
    let differs = reading.bands.iter().any(|band| band.variants.is_some())
        || sum.as_ref().is_some_and(|sum| sum.places.iter().any(|(_, variants)| variants.is_some()));
    Data {
        name: reading.name.value.clone(),
        kind: key_of(unit.dimension),
        unit: unit.symbol,
        offers: offers(unit),
        state: place.state(reading.state.as_ref()),
        least: range.least.map(fraction),
        most: range.most.map(fraction),
        bands: reading.bands.iter().map(|band| band_data(place, band)).collect(),
        variants: if differs { variants(place, reading) } else { Vec::new() },
        sum,
        of: counts_towards(place, reading).map(|part| part.id().to_owned()),
        level: level(place, reading),
    }
}

/// The rods that move the level a reading takes, and the surface it spreads over.
fn level(place: Place<'_>, reading: &Reading) -> Option<LevelData> {
    let taken = |circuit: &&Circuit| {
        let link = circuit.level.as_ref().and_then(|level| level.reading.as_ref());
        link.is_some_and(|link| link.as_str() == reading.id())
    };
    let circuit = place.guide.circuits.iter().find(taken)?;
    let facts = place.facts.hydraulics.machines.iter().flat_map(|machine| &machine.levels);
    let facts = facts.into_iter().find(|level| level.circuit.as_str() == circuit.id())?;
    let surface = circuit.level.as_ref()?.surface.first()?.value.base();
    let rod = |actuator: &crate::model::Actuator| {
        let volume = facts.rods.get(actuator.id.value.as_str())?;
        Some((actuator.name.value.clone(), fraction(*volume)))
    };
    Some(LevelData { surface: fraction(surface), rods: circuit.actuators.iter().filter_map(rod).collect() })
}

/// The reading whose values add up to this one.
fn counts_towards<'g>(place: Place<'g>, total: &Reading) -> Option<&'g Reading> {
    place.guide.readings.iter().find(|part| part.sum.as_ref().is_some_and(|sum| sum.total.as_str() == total.id()))
}

fn variants(place: Place<'_>, reading: &Reading) -> Vec<(String, String)> {
    let is_for = |variant: &&Variant| applies(reading.head.applies_to.as_deref(), &Id::new(variant.id()));
    let all = place.guide.variants.iter().filter(is_for);
    all.map(|variant| (variant.id().to_owned(), variant.name.value.clone())).collect()
}

fn band_data(place: Place<'_>, band: &Band) -> BandData {
    let edge = |edge: &Option<crate::text::Located<crate::model::quantity::Quantity>>| {
        edge.as_ref().map(|edge| fraction(edge.value.base()))
    };
    let procedure = band.procedure.as_ref().map(|link| place.procedure(link));
    let fault = band.fault.as_ref().map(|link| place.link(Kind::Fault, link.as_str()));
    BandData {
        id: band.id.value.clone(),
        verdict: verdict_key(band.verdict.value),
        says: band.says.value.clone(),
        from: edge(&band.from),
        to: edge(&band.to),
        variants: ids(band.variants.as_deref()),
        then: procedure.into_iter().chain(fault).collect(),
    }
}

fn ids(variants: Option<&[Mention<Variant>]>) -> Option<Vec<String>> {
    variants.map(|named| named.iter().map(|link| link.as_str().to_owned()).collect())
}

fn verdict_key(verdict: Verdict) -> &'static str {
    match verdict {
        Verdict::Fine => "fine",
        Verdict::Tolerable => "tolerable",
        Verdict::Act => "act",
    }
}

fn sum_data(place: Place<'_>, sum: &SumRule) -> SumData {
    let circuit = sum.circuit.as_ref().and_then(|link| place.guide.circuits.get(&link.value));
    let hoses = circuit.into_iter().flat_map(|circuit| &circuit.hoses);
    let hoses = hoses.map(|hose| (hose.mark.value.clone(), ids(hose.variants.as_deref())));
    let places = sum.places.iter().map(|place| (place.value.clone(), None));
    SumData { places: hoses.chain(places).collect(), total: sum.total.as_str().to_owned() }
}

/// The reading's unit, the other system's, then those a value is not absurd in.
fn offers(unit: &'static Unit) -> Vec<&'static str> {
    let near = |other: &&'static Unit| {
        let ratio = other.factor() / unit.factor();
        ratio >= Exact::new(1, 1000) && ratio < Exact::from_integer(1000)
    };
    let others = units_of(unit.dimension).filter(near).map(|other| other.symbol);
    let counterpart = units_of(unit.dimension).map(|other| other.symbol).filter(|other| *other == unit.counterpart);
    let mut seen = BTreeSet::new();
    std::iter::once(unit.symbol).chain(counterpart).chain(others).filter(|symbol| seen.insert(*symbol)).collect()
}

fn rows(dimension: Dimension) -> Vec<Row> {
    let row = |unit: &'static Unit| {
        let (ways, any_case) = unit.written();
        (unit.symbol, fraction(unit.factor()), fraction(unit.offset()), ways, any_case)
    };
    // SI first, so that a list of units reads from one system to the other.
    let (us, others): (Vec<&Unit>, Vec<&Unit>) = units_of(dimension).partition(|unit| unit.system == System::Us);
    others.into_iter().chain(us).map(row).collect()
}

/// A fraction as text: "1/25", or "3" where it is whole.
pub(super) fn fraction(value: Exact) -> String {
    if value.is_integer() { value.numer().to_string() } else { format!("{}/{}", value.numer(), value.denom()) }
}

/// The kinds of quantities and what they are called in the block and, behind `kind_of_`, in the words.
pub(super) const DIMENSIONS: [(Dimension, &str); 22] = [
    (Dimension::Torque, "torque"),
    (Dimension::Length, "length"),
    (Dimension::GaugePressure, "pressure"),
    (Dimension::Volume, "volume"),
    (Dimension::Temperature, "temperature"),
    (Dimension::Force, "force"),
    (Dimension::Mass, "mass"),
    (Dimension::FlowRate, "flow"),
    (Dimension::Speed, "speed"),
    (Dimension::Area, "area"),
    (Dimension::Power, "power"),
    (Dimension::Voltage, "voltage"),
    (Dimension::Current, "current"),
    (Dimension::Resistance, "resistance"),
    (Dimension::Time, "time"),
    (Dimension::AbsolutePressure, "absolute"),
    (Dimension::TemperatureDifference, "warmer"),
    (Dimension::Charge, "charge"),
    (Dimension::Frequency, "frequency"),
    (Dimension::Angle, "angle"),
    (Dimension::Viscosity, "viscosity"),
    (Dimension::Ratio, "share"),
];

fn key_of(dimension: Dimension) -> &'static str {
    DIMENSIONS.iter().find(|(known, _)| *known == dimension).map_or("", |(_, key)| key)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The units that the examples of the script are read with are those of the table.
    #[test]
    fn the_script_s_examples_hold_the_same_units() {
        let vectors = include_str!("../../tests/readings/vectors.json");
        let vectors: serde_json::Value = serde_json::from_str(vectors).unwrap();
        let units: BTreeMap<&str, Vec<Row>> =
            DIMENSIONS.iter().map(|(dimension, key)| (*key, rows(*dimension))).collect();
        assert_eq!(vectors["units"], serde_json::json!(units), "{}", serde_json::to_string(&units).unwrap());
    }

    #[test]
    fn every_kind_has_a_name_of_its_own() {
        let keys: BTreeSet<&str> = DIMENSIONS.iter().map(|(_, key)| *key).collect();
        let kinds: BTreeSet<Dimension> = DIMENSIONS.iter().map(|(kind, _)| *kind).collect();
        assert_eq!((keys.len(), kinds.len()), (DIMENSIONS.len(), DIMENSIONS.len()));
    }
}
