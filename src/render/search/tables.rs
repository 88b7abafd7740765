//! The word tables that index and query share: weak words, negators, contractions, units. They go with the index to the
//! query script, which takes more from there: letters to fold, letters without spaces, endings of the stemmer.

use serde::Deserialize;
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::LazyLock;

/// The tables as written once for both languages, and as the query script reads them.
pub static WRITTEN: LazyLock<Value> =
    LazyLock::new(|| serde_json::from_str(include_str!("tables.json")).unwrap_or_default());

#[derive(Deserialize, Default)]
struct Written {
    weak: BTreeSet<String>,
    not: BTreeSet<String>,
    tasks: BTreeSet<String>,
    bare: Vec<(String, String)>,
    units: Vec<(String, (char, f64, f64))>,
}

/// A unit's dimension letter, how many of the dimension's base unit it is, and where its scale has the base's zero.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Unit {
    pub dimension: char,
    pub factor: f64,
    pub zero: f64,
}

/// The tables, parsed.
pub struct Tables {
    /// Words that say little by themselves; indexed in titles and symptoms only.
    pub weak: BTreeSet<String>,
    /// Words that turn the meaning of what follows.
    pub negators: BTreeSet<String>,
    /// Verbs with which a query begins that asks how something is done; none that also begins the name of a part, as drain does.
    pub tasks: BTreeSet<String>,
    /// Contractions typed without their apostrophe, with their verbs.
    pub bare: BTreeMap<String, String>,
    pub units: BTreeMap<String, Unit>,
}

/// The one parsed copy.
pub static TABLES: LazyLock<Tables> = LazyLock::new(|| {
    let written = Written::deserialize(&*WRITTEN).unwrap_or_default();
    let unit = |(name, (dimension, factor, zero))| (name, Unit { dimension, factor, zero });
    Tables {
        weak: written.weak,
        negators: written.not,
        tasks: written.tasks,
        bare: written.bare.into_iter().collect(),
        units: written.units.into_iter().map(unit).collect(),
    }
});

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_tables_parse() {
        assert!(TABLES.weak.contains("the") && !TABLES.weak.contains("off"));
        assert!(TABLES.negators.contains("not") && TABLES.bare["doesnt"] == "does");
        assert!(WRITTEN["stems"].is_array() && WRITTEN["folds"].is_array() && WRITTEN["unspaced"].is_string());
        assert_eq!(TABLES.units["psi"], Unit { dimension: 'p', factor: 6.894757293, zero: 0.0 });
    }
}
