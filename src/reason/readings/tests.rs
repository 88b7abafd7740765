//! The examples that the script of the pages is held to as well.

use serde_json::Value;

use super::*;
use crate::model::quantity::Dimension as D;
use crate::model::quantity::{Unit, plain, units_of};

fn vectors() -> Value {
    serde_json::from_str(include_str!("../../../tests/readings/vectors.json")).unwrap()
}

fn rows(of: &str) -> Vec<Vec<Value>> {
    let all = vectors();
    let rows: Vec<Vec<Value>> = all[of].as_array().unwrap().iter().map(|row| row.as_array().unwrap().clone()).collect();
    assert!(rows.len() > 3, "{of}");
    rows
}

fn text(value: &Value) -> &str {
    value.as_str().unwrap()
}

fn unit(symbol: &Value) -> &'static Unit {
    Quantity::parse(&format!("1 {}", text(symbol))).unwrap().unit()
}

fn exact(written: &str) -> Exact {
    match written.split_once('/') {
        Some((above, below)) => Exact::new(above.parse().unwrap(), below.parse().unwrap()),
        None => Quantity::parse(&format!("{written} V")).unwrap().base(),
    }
}

fn whole(written: &str) -> String {
    if written.contains('/') { written.to_owned() } else { format!("{written}/1") }
}

fn typed(value: &Value, usual: &Value) -> Result<Quantity, Refusal> {
    read(text(value), unit(usual))
}

#[test]
fn what_is_typed_is_read() {
    for row in rows("typed") {
        let read = typed(&row[0], &row[1]);
        assert_eq!(read.map(|value| value.base()), Ok(exact(text(&row[2]))), "{row:?}");
    }
}

#[test]
fn what_is_no_value_is_refused_with_its_reason() {
    for row in rows("refused") {
        let reason = typed(&row[0], &row[1]).map_err(Refusal::key);
        assert_eq!(reason.map(|value| value.written()), Err(text(&row[2])), "{row:?}");
    }
    for row in rows("ranges") {
        let edges: Vec<Exact> =
            row[1].as_array().unwrap().iter().map(|edge| Quantity::parse(text(edge)).unwrap().base()).collect();
        let range = Range::of(unit(&row[0]).dimension, &edges);
        let wanted = [0, 1].map(|end| row[4][end].as_str().map(|end| exact(&whole(end))));
        assert_eq!([range.least, range.most], wanted, "{row:?}");
        let value = typed(&row[2], &row[0]).unwrap();
        assert_eq!(range.holds(value.base()).err().map(Refusal::key), row[3].as_str(), "{row:?}");
    }
}

/// The bands of a reading of that unit, with those edges.
fn with_bands(unit: &Value, edges: &Value) -> Reading {
    let band = |ends: &Value| {
        let end = |key: &str, end: &Value| end.as_str().map_or(String::new(), |end| format!("{key} = {end:?}\n"));
        format!(
            "[[reading.band]]\nid = \"b\"\nsays = \"s\"\nverdict = \"fine\"\n{}{}",
            end("from", &ends[0]),
            end("to", &ends[1])
        )
    };
    let bands: String = edges.as_array().unwrap().iter().map(band).collect();
    let toml = format!("[[reading]]\nid = \"r\"\nname = \"R\"\nunit = \"1 {}\"\nhow = \"h\"\n{bands}", text(unit));
    let desk = crate::desk::MemoryDesk::new().with("readings/r.toml", toml);
    let guide = crate::read::read(&desk).guide;
    guide.readings.find("r").unwrap().clone()
}

#[test]
fn a_band_holds_its_lower_edge_and_not_its_upper() {
    for row in rows("bands") {
        let reading = with_bands(&row[0], &row[1]);
        for pair in row[2].as_array().unwrap() {
            let value = typed(&pair[0], &row[0]);
            // The one comma that may be thousands.
            let band = value.map(|value| band_of(&reading, &None, value.base()));
            let wanted = pair[1].as_u64().map(|place| usize::try_from(place).unwrap());
            if text(&pair[0]) == "9,525 mm" {
                assert_eq!(band, Err(Refusal::Comma));
            } else {
                assert_eq!(band, Ok(wanted), "{row:?} {pair:?}");
            }
        }
    }
}

#[test]
fn values_add_up_and_missing_ones_are_counted() {
    for row in rows("sums") {
        let values: Vec<Option<Exact>> =
            row[0].as_array().unwrap().iter().map(|value| typed(value, &row[1]).ok().map(|it| it.base())).collect();
        let sum = sum(&values).unwrap();
        let total = plain(unit(&row[1]).value_of(sum.total).unwrap(), 3);
        assert_eq!((total.as_str(), sum.missing), (text(&row[2]), usize::try_from(row[3].as_u64().unwrap()).unwrap()));
    }
}

/// The first row by hand: 412,334 mm3 over 19,635 mm2 are 21.0 mm (two rods of 25 mm, 420 mm out, over a tank of
/// 158.1 mm bore).
#[test]
fn a_level_is_brought_to_rods_in() {
    for row in rows("levels") {
        let cubic = |value: &Value| Exact::new(i128::from(value.as_u64().unwrap()), 1_000_000_000);
        let square = |value: &Value| Exact::new(i128::from(value.as_u64().unwrap()), 1_000_000);
        let level = with_rods_in(typed(&row[0], &row[4]).unwrap().base(), cubic(&row[1]), square(&row[2]));
        let shown = level.map(|level| plain(unit(&row[4]).value_of(level).unwrap(), 1));
        assert_eq!(shown.as_deref(), row[3].as_str(), "{row:?}");
    }
}

#[test]
fn what_is_lost_between_test_points_is_found() {
    for row in rows("drops") {
        let volts: Vec<Option<Exact>> = row[0]
            .as_array()
            .unwrap()
            .iter()
            .map(|value| typed(value, &Value::from("V")).ok().map(|value| value.base()))
            .collect();
        let may: Vec<Exact> = row[1].as_array().unwrap().iter().map(|value| exact(text(value))).collect();
        let stretches = lost(&volts);
        let wanted = row[2].as_array().unwrap().iter().enumerate();
        let wanted: Vec<Stretch> =
            wanted.filter_map(|(after, lost)| Some(Stretch { after, lost: exact(lost.as_str()?) })).collect();
        assert_eq!(stretches, wanted, "{row:?}");
        let after = worst(&stretches, &may).map(|stretch| stretch.after as u64);
        assert_eq!(after, row[3].as_u64(), "{row:?}");
    }
}

/// The torque, inch, pressure and temperature rows after NIST SP 811, Appendix B (from memory).
#[test]
fn values_are_shown_in_other_units() {
    for row in rows("converted") {
        let to = unit(&row[1]);
        let value = read(text(&row[0]), to).unwrap();
        let shown = value.shown_in(to).unwrap();
        let number = shown.trim_end_matches(&to.symbol.replace(' ', "\u{a0}")).trim_end_matches('\u{a0}');
        assert_eq!(number, text(&row[2]), "{row:?}");
    }
    for row in rows("plain") {
        let places = u8::try_from(row[1].as_u64().unwrap()).unwrap();
        assert_eq!(plain(exact(text(&row[0])), places), text(&row[2]), "{row:?}");
    }
}

#[test]
fn every_unit_is_found_by_every_spelling_of_it() {
    for dimension in [D::Length, D::Torque, D::GaugePressure, D::Temperature, D::Voltage, D::Volume, D::Frequency] {
        for known in units_of(dimension) {
            // `1/min` behind a number would read as a fraction.
            for way in known.written().0.iter().filter(|way| !way.starts_with('1')) {
                let found = read(&format!("1 {way}"), known).unwrap();
                assert_eq!(found.unit().symbol, known.symbol, "{way}");
            }
        }
    }
}
