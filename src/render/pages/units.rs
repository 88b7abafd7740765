//! Units: a calculator for every kind of quantity, and the factors for whoever has no script.

use super::{Draft, guide_draft};
use crate::model::quantity::{Dimension, Unit, plain, units_of};
use crate::render::calculator::{Block, DIMENSIONS};
use crate::render::place::Place;
use crate::render::theme::WORK;
use crate::render::views::units as view;

/// Kinds with more than one unit worth converting, in the order of a workshop's needs.
const SHOWN: usize = 13;

pub(super) fn draft(place: Place<'_>) -> Draft {
    let page = view::Units {
        kinds: DIMENSIONS.iter().take(SHOWN).map(|(dimension, key)| kind(place, *dimension, key)).collect(),
        block_json: Block::of_units(place).json(),
    };
    guide_draft(place, "units.html", "units", place.word("units_title"), &page).with_script(WORK)
}

fn kind(place: Place<'_>, dimension: Dimension, key: &str) -> view::Kind {
    let name = word_of(dimension);
    let base = units_of(dimension).find(|unit| unit.symbol == usual(dimension));
    let factor = |unit: &'static Unit| {
        let base = base?;
        let value = unit.factor() / base.factor();
        let one = format!("1 {}", unit.symbol.replace(' ', "\u{a0}"));
        Some(view::Factor { one, is: format!("{}\u{a0}{}", plain(value, 10), base.symbol.replace(' ', "\u{a0}")) })
    };
    let others = units_of(dimension).filter(|unit| unit.symbol != usual(dimension));
    // A scale with a zero of its own has no factor.
    let factors = if dimension == Dimension::Temperature { Vec::new() } else { others.filter_map(factor).collect() };
    view::Kind { key: key.to_owned(), name: place.word(name), usual: usual(dimension).to_owned(), factors }
}

fn usual(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Torque => "N m",
        Dimension::Length => "mm",
        Dimension::GaugePressure => "bar",
        Dimension::Volume => "L",
        Dimension::Temperature => "°C",
        Dimension::Force => "N",
        Dimension::Mass => "kg",
        Dimension::FlowRate => "L/min",
        Dimension::Speed => "m/s",
        Dimension::Area => "mm²",
        Dimension::Power => "W",
        Dimension::Voltage => "V",
        _ => "A",
    }
}

fn word_of(dimension: Dimension) -> &'static str {
    match dimension {
        Dimension::Torque => "torque",
        Dimension::Length => "length",
        Dimension::GaugePressure => "kind_of_pressure",
        Dimension::Volume => "kind_of_volume",
        Dimension::Temperature => "kind_of_temperature",
        Dimension::Force => "kind_of_force",
        Dimension::Mass => "kind_of_mass",
        Dimension::FlowRate => "kind_of_flow",
        Dimension::Speed => "kind_of_speed",
        Dimension::Area => "kind_of_area",
        Dimension::Power => "kind_of_power",
        Dimension::Voltage => "kind_of_voltage",
        _ => "kind_of_current",
    }
}
