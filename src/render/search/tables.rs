//! The word tables that index and query share: weak words, negators, contractions, units.

use serde::Deserialize;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

/// The tables as written once for both languages.
pub const SOURCE: &str = include_str!("tables.json");

#[derive(Deserialize, Default)]
struct Written {
    weak: String,
    not: String,
    bare: String,
    units: String,
}

/// A unit's dimension letter and how many of the dimension's base unit it is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    pub dimension: char,
    pub factor: f64,
}

/// The tables, parsed.
pub struct Tables {
    /// Words that say little by themselves; indexed in titles and symptoms only.
    pub weak: BTreeSet<String>,
    /// Words that turn the meaning of what follows.
    pub negators: BTreeSet<String>,
    /// Contractions typed without their apostrophe.
    pub bare: BTreeSet<String>,
    pub units: BTreeMap<String, Unit>,
}

/// The one parsed copy.
pub static TABLES: LazyLock<Tables> = LazyLock::new(|| {
    let written: Written = serde_json::from_str(SOURCE).unwrap_or_default();
    let set = |text: &str| text.split(' ').map(str::to_owned).collect();
    Tables {
        weak: set(&written.weak),
        negators: set(&written.not),
        bare: set(&written.bare),
        units: written.units.split(' ').flat_map(dimension_units).collect(),
    }
});

fn dimension_units(group: &str) -> Vec<(String, Unit)> {
    let Some((letter, units)) = group.split_once(':') else { return Vec::new() };
    let dimension = letter.chars().next().unwrap_or('?');
    let unit = |pair: &str| {
        let (name, factor) = pair.split_once('=')?;
        Some((name.to_owned(), Unit { dimension, factor: factor.parse().ok()? }))
    };
    units.split(',').filter_map(unit).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tables_parse() {
        assert!(TABLES.weak.contains("the") && !TABLES.weak.contains("off"));
        assert!(TABLES.negators.contains("not") && TABLES.bare.contains("doesnt"));
        assert_eq!(TABLES.units["psi"], Unit { dimension: 'p', factor: 6.894757293 });
    }
}
