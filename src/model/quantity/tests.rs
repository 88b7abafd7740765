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
        ("-18 °C", "-18 °C", Some("0 °F")),
        ("-17.8 °C", "-17.8 °C", Some("0.0 °F")),
        ("33 °F", "1 °C", Some("33 °F")),
        ("20 °C", "20 °C", Some("68 °F")),
        ("37.5 °C", "37.5 °C", Some("99.5 °F")),
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
    assert_eq!(error("5 Kg"), QuantityError::UnknownUnit { unit: "Kg".to_owned(), nearest: Some("kg") });
    assert_eq!(error("-1 bar abs"), QuantityError::BelowZero);
    assert_eq!(error("1/9999999999 in"), QuantityError::TooLarge);
    assert!(matches!(error("5 parsecs"), QuantityError::UnknownUnit { nearest: None, .. }));
}

#[test]
fn capitals_never_change_a_value_unseen() {
    let symbol = |text: &str| Quantity::parse(text).map(|found| found.unit().symbol);
    assert_eq!(symbol("5 Mohm"), Ok("MΩ"));
    assert_eq!(symbol("5 mohm"), Ok("mΩ"));
    assert_eq!(symbol("5 \u{2126}"), Ok("\u{3a9}"), "the ohm sign");
    assert_eq!(symbol("5 \u{3bc}m"), Ok("\u{b5}m"), "Greek mu");
    assert_eq!(symbol("15 ft-lb"), Ok("lbf ft"));
    assert_eq!(symbol("5 GPM"), Ok("gal/min"));
    assert_eq!(symbol("5 BAR"), Ok("bar"));
    // A prefix or a second unit in the wrong case is refused: "nm" could be nanometres, "ma" and "MA" either ampere.
    for text in [
        "5 nm", "5 MA", "5 ma", "5 mPa", "5 MW", "5 mohms", "5 kPA", "5 MM", "5 ML", "5 MS", "5 KM", "5 Mm", "5 MAH",
        "5 Mbar",
    ] {
        assert!(matches!(symbol(text), Err(QuantityError::UnknownUnit { .. })), "{text}");
    }
}

#[test]
fn two_units_never_share_a_spelling() {
    let mut seen = std::collections::BTreeMap::new();
    for unit in units::all() {
        for written in std::iter::once(unit.symbol).chain(unit.spellings.iter().copied()) {
            let other = seen.insert(units::squeezed(written), unit.symbol);
            assert!(other.is_none_or(|other| other == unit.symbol), "{written}: {} and {other:?}", unit.symbol);
        }
    }
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
    use uom::si::f64::{
        Area, Force, Length, Mass, Power, Pressure, ThermodynamicTemperature, Torque, Velocity, Volume, VolumeRate,
    };
    use uom::si::thermodynamic_temperature as temperature;
    use uom::si::{area, force, length, mass, power, pressure, torque, velocity, volume, volume_rate};

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
            agree(format!("{number} lbf in"), Torque::new::<torque::pound_force_inch>(value).value)?;
            agree(format!("{number} in2"), Area::new::<area::square_inch>(value).value)?;
            agree(format!("{number} ft2"), Area::new::<area::square_foot>(value).value)?;
            agree(format!("{number} in3"), Volume::new::<volume::cubic_inch>(value).value)?;
            agree(format!("{number} fl oz"), Volume::new::<volume::fluid_ounce>(value).value)?;
            agree(format!("{number} qt"), Volume::new::<volume::quart_liquid>(value).value)?;
            agree(format!("{number} oz"), Mass::new::<mass::ounce>(value).value)?;
            agree(format!("{number} mph"), Velocity::new::<velocity::mile_per_hour>(value).value)?;
            agree(format!("{number} gal/min"), VolumeRate::new::<volume_rate::gallon_per_minute>(value).value)?;
            agree(format!("{number} L/min"), VolumeRate::new::<volume_rate::liter_per_minute>(value).value)?;
            agree(format!("{number} hp"), Power::new::<power::horsepower>(value).value)?;
            let kelvins = ThermodynamicTemperature::new::<temperature::degree_fahrenheit>(value).value;
            agree(format!("{number} °F"), kelvins)?;
        }

        #[test]
        fn no_text_makes_it_panic(text in "\\PC{0,40}") {
            if let Ok(quantity) = Quantity::parse(&text) {
                let _ = quantity.shown(UnitsFirst::Us);
            }
        }

        #[test]
        fn numbers_with_units_never_panic(number in "-?([0-9]{1,15}|[0-9]{1,7}\\.[0-9]{1,8}|0\\.[0-9]{1,14}|[0-9]{1,9}/[0-9]{1,9})", unit in 0_usize..200) {
            if let Some(unit) = units::all().get(unit) {
                let read = Quantity::parse(&format!("{number} {}", unit.symbol));
                if let Ok(quantity) = read {
                    let shown = quantity.shown(UnitsFirst::Si);
                    // What is shown reads back as nearly the same quantity, and as a plain decimal.
                    for text in [Some(shown.first), shown.second].into_iter().flatten() {
                        let again = Quantity::parse(&text.replace('\u{a0}', " "));
                        if let Ok(again) = again {
                            prop_assert_eq!(again.dimension(), quantity.dimension());
                            let (one, two) = (again.to_f64(), quantity.to_f64());
                            let tolerance = if quantity.dimension() == Dimension::Temperature { 1.0 } else { 0.06 * two.abs() };
                            prop_assert!((one - two).abs() <= tolerance, "{}: {} against {}", text, one, two);
                        } else {
                            // Only a converted figure may have more digits than a writer may write.
                            prop_assert_eq!(again, Err(QuantityError::TooLarge), "{}", text);
                        }
                        prop_assert!(!text.contains('e') || unit.symbol.contains('e'), "{}", text);
                    }
                }
            }
        }
    }
}
