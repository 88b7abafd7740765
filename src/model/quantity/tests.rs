//! Factors against published values, and conversions against a registry library.

use super::*;
use crate::model::UnitsFirst;

fn base(text: &str) -> Exact {
    Quantity::parse(text).unwrap().base()
}

fn exact(above: i128, below: i128) -> Exact {
    Exact::new(above, below)
}

#[test]
fn exact_factors() {
    // NIST Special Publication 811, Appendix B, cited from memory.
    assert_eq!(base("1 in"), exact(254, 10_000));
    assert_eq!(base("1 ft"), exact(3_048, 10_000));
    assert_eq!(base("1 lb"), exact(45_359_237, 100_000_000));
    assert_eq!(base("1 gal"), exact(3_785_411_784, 1_000_000_000_000));
    assert_eq!(base("1 in3"), exact(16_387_064, 1_000_000_000_000));
    assert_eq!(base("1 atm"), exact(101_325, 1));
    assert_eq!(base("1 bar"), exact(100_000, 1));
    assert_eq!(base("1 kgf m"), exact(980_665, 100_000));
    assert_eq!(base("1 lbf"), exact(44_482_216_152_605, 10_000_000_000_000));
    assert_eq!(base("1000 inHg"), exact(3_386_389, 1));
}

#[test]
fn derived_factors() {
    // NIST Special Publication 811, Appendix B, cited from memory; to the digits printed there.
    let close = |text: &str, value: f64| {
        let found = Quantity::parse(text).unwrap().to_f64();
        assert!((found / value - 1.0).abs() < 1e-12, "{text}: {found}");
    };
    close("1 psi", 6_894.757_293_168_361);
    close("1 lbf ft", 1.355_817_948_331_4);
    close("1 lbf in", 0.112_984_829_027_6);
    close("1 hp", 745.699_871_582_27);
}

#[test]
fn temperatures() {
    // (F - 32) / 1.8, by definition.
    for (fahrenheit, celsius) in [("-40", "-40"), ("32", "0"), ("68", "20"), ("212", "100")] {
        assert_eq!(base(&format!("{fahrenheit} °F")), base(&format!("{celsius} °C")));
    }
    assert_eq!(base("9 Δ°F"), base("5 K"));
    assert_eq!(Quantity::parse("-300 °C"), Err(QuantityError::BelowZero));
}

#[test]
fn shown_with_the_precision_of_the_figure() {
    let cases = [
        ("8 N m", "8 N m", Some("5.9 lbf ft")),
        ("10 N m", "10 N m", Some("7.4 lbf ft")),
        ("10.0000 N m", "10.0000 N m", Some("7.37562 lbf ft")),
        ("120 bar", "120 bar", Some("1740 psi")),
        ("40 mm", "40 mm", Some("1.57 in")),
        ("2 L", "2 L", Some("0.53 gal")),
        ("12 V", "12 V", None),
        ("-40 °C", "-40 °C", Some("-40 °F")),
        ("3 deg", "3°", None),
        ("1/4 in", "6.35 mm", Some("1/4 in")),
    ];
    for (written, first, second) in cases {
        let shown = Quantity::parse(written).unwrap().shown(UnitsFirst::Si);
        assert_eq!(shown.first.replace('\u{a0}', " "), first);
        assert_eq!(shown.second.map(|text| text.replace('\u{a0}', " ")).as_deref(), second);
    }
}

#[test]
fn what_is_not_a_quantity() {
    let error = |text: &str| Quantity::parse(text).unwrap_err();
    assert_eq!(error("mm"), QuantityError::NoNumber);
    assert_eq!(error("40"), QuantityError::NoUnit);
    assert_eq!(error("2,5 mm"), QuantityError::BadNumber("2,5".to_owned()));
    assert_eq!(error("1. mm"), QuantityError::BadNumber("1.".to_owned()));
    assert_eq!(error("1/0 in"), QuantityError::BadNumber("1/0".to_owned()));
    assert_eq!(error("9999999999999999999 mm"), QuantityError::TooLarge);
    assert_eq!(error("5 Bar"), QuantityError::UnknownUnit { unit: "Bar".to_owned(), nearest: Some("bar") });
    assert!(matches!(error("5 parsecs"), QuantityError::UnknownUnit { nearest: None, .. }));
}

#[test]
fn kinds_are_kept_apart() {
    let of = |text: &str| Quantity::parse(text).unwrap();
    assert_eq!(of("1 bar").partial_cmp(&of("1 bar abs")), None);
    assert_eq!(of("5 K").dimension(), Dimension::TemperatureDifference);
    assert_eq!(of("5 °C").plus(&of("5 °C")), None);
    assert_eq!(of("40 mm").plus(&of("6 cm")), Some(of("100 mm")));
    assert!(of("1 in") > of("25 mm"));
}

#[test]
fn every_spelling_means_one_unit_and_every_counterpart_exists() {
    for unit in units::all() {
        let found = units::find(unit.symbol).map(|found| found.symbol);
        assert_eq!(found, Some(unit.symbol));
        if !unit.counterpart.is_empty() {
            let other = units::by_symbol(unit.counterpart).unwrap();
            assert_eq!(other.dimension, unit.dimension, "{}", unit.symbol);
            assert_ne!(other.system, unit.system, "{}", unit.symbol);
        }
    }
}

mod against_uom {
    //! Conversions held against the registry library `uom`, which has factors of its own, rounded to seven digits.

    use super::*;
    use proptest::prelude::*;
    use uom::si::f64::{Force, Length, Mass, Pressure, Torque, Volume};
    use uom::si::{force, length, mass, pressure, torque, volume};

    fn agree(text: String, theirs: f64) -> Result<(), TestCaseError> {
        let ours = Quantity::parse(&text).unwrap().to_f64();
        prop_assert!((ours - theirs).abs() <= 1e-6 * theirs.abs(), "{text}: {ours} against {theirs}");
        Ok(())
    }

    proptest! {
        #![proptest_config(ProptestConfig::with_cases(1_000))]
        #[test]
        fn conversions_agree(thousandths in 1_i64..1_000_000_000) {
            let number = format!("{}.{:03}", thousandths / 1000, thousandths % 1000);
            let value: f64 = number.parse().unwrap();
            agree(format!("{number} in"), Length::new::<length::inch>(value).value)?;
            agree(format!("{number} ft"), Length::new::<length::foot>(value).value)?;
            agree(format!("{number} lb"), Mass::new::<mass::pound>(value).value)?;
            agree(format!("{number} gal"), Volume::new::<volume::gallon>(value).value)?;
            agree(format!("{number} lbf"), Force::new::<force::pound_force>(value).value)?;
            agree(format!("{number} lbf ft"), Torque::new::<torque::pound_force_foot>(value).value)?;
            agree(format!("{number} psi"), Pressure::new::<pressure::psi>(value).value)?;
            agree(format!("{number} bar"), Pressure::new::<pressure::bar>(value).value)?;
        }

        #[test]
        fn no_text_makes_it_panic(text in "\\PC{0,40}") {
            if let Ok(quantity) = Quantity::parse(&text) {
                let _ = quantity.shown(UnitsFirst::Us);
            }
        }

        #[test]
        fn numbers_with_units_never_panic(number in "-?[0-9]{1,15}(\\.[0-9]{1,8})?", unit in 0_usize..90) {
            if let Some(unit) = units::all().get(unit) {
                if let Ok(quantity) = Quantity::parse(&format!("{number} {}", unit.symbol)) {
                    let shown = quantity.shown(UnitsFirst::Si);
                    prop_assert!(shown.first.chars().any(|letter| letter.is_ascii_digit()));
                }
            }
        }
    }
}
