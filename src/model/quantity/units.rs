//! The units, with their exact factors.
//!
//! Factors after NIST Special Publication 811, Appendix B (cited from memory): inch, foot, pound, US gallon, bar and
//! pound-force are exact by definition; psi and lbf ft follow from them; inHg is the conventional value.

use std::collections::BTreeMap;
use std::sync::LazyLock;

use super::{Dimension, Exact};

/// The system of units a unit belongs to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum System {
    Si,
    Us,
    /// Used in both, so it is shown once.
    Both,
}

/// One unit.
#[derive(Debug)]
pub struct Unit {
    /// As it is printed.
    pub symbol: &'static str,
    pub dimension: Dimension,
    pub system: System,
    /// Base units in one of it, as numerator and denominator.
    factor: (i128, i128),
    /// Added to a value before the factor: where its zero lies, as numerator and denominator.
    offset: (i128, i128),
    /// The unit of the other system it is shown in.
    pub counterpart: &'static str,
    /// Other ways to write it, without spaces, dots and raised digits.
    pub(super) spellings: &'static [&'static str],
    /// True where capitals cannot change what is meant.
    any_case: bool,
}

impl Unit {
    /// Base units in one of it.
    pub fn factor(&self) -> Exact {
        Exact::new(self.factor.0, self.factor.1)
    }

    /// What is added to a value in it before the factor.
    pub fn offset(&self) -> Exact {
        Exact::new(self.offset.0, self.offset.1)
    }

    /// Every way to write it, squeezed as [`squeezed`] does, the symbol first; true where capitals are forgiven.
    pub fn written(&self) -> (Vec<String>, bool) {
        let mut ways: Vec<String> = Vec::new();
        for way in std::iter::once(&self.symbol).chain(self.spellings).map(|way| squeezed(way)) {
            if !ways.contains(&way) {
                ways.push(way);
            }
        }
        (ways, self.any_case)
    }
}

/// Newtons in a pound-force: 0.45359237 kg times 9.80665 m/s2.
const LBF: (i128, i128) = (44_482_216_152_605, 10_000_000_000_000);
/// Newton metres in a pound-force foot: a pound-force times 0.3048 m.
const LBF_FT: (i128, i128) = (LBF.0 * 3048, LBF.1 * 10_000);
/// Newton metres in a pound-force inch: a pound-force times 0.0254 m.
const LBF_IN: (i128, i128) = (LBF.0 * 254, LBF.1 * 10_000);
/// Pascals in a pound-force per square inch.
const PSI: (i128, i128) = (LBF.0 * 100_000_000, LBF.1 * 64_516);
/// Cubic metres in a US gallon: 231 cubic inches.
const GALLON: (i128, i128) = (3_785_411_784, 1_000_000_000_000);

const fn unit(
    symbol: &'static str,
    dimension: Dimension,
    system: System,
    factor: (i128, i128),
    counterpart: &'static str,
    spellings: &'static [&'static str],
) -> Unit {
    Unit { symbol, dimension, system, factor, offset: (0, 1), counterpart, spellings, any_case: false }
}

const fn once(
    symbol: &'static str,
    dimension: Dimension,
    factor: (i128, i128),
    spellings: &'static [&'static str],
) -> Unit {
    unit(symbol, dimension, System::Both, factor, "", spellings)
}

const fn any_case(unit: Unit) -> Unit {
    Unit { any_case: true, ..unit }
}

use Dimension as D;
use System::{Si, Us};

#[rustfmt::skip]
static UNITS: &[Unit] = &[
    unit("µm", D::Length, Si, (1, 1_000_000), "in", &["um"]),
    unit("mm", D::Length, Si, (1, 1_000), "in", &[]),
    unit("cm", D::Length, Si, (1, 100), "in", &[]),
    unit("m", D::Length, Si, (1, 1), "ft", &[]),
    unit("km", D::Length, Si, (1_000, 1), "mi", &[]),
    any_case(unit("in", D::Length, Us, (254, 10_000), "mm", &["inch", "inches", "\""])),
    any_case(unit("ft", D::Length, Us, (3_048, 10_000), "m", &["feet", "foot"])),
    any_case(unit("mi", D::Length, Us, (1_609_344, 1_000), "km", &["mile", "miles"])),
    unit("mm²", D::Area, Si, (1, 1_000_000), "in²", &["mm2"]),
    unit("cm²", D::Area, Si, (1, 10_000), "in²", &["cm2"]),
    unit("m²", D::Area, Si, (1, 1), "ft²", &["m2"]),
    unit("in²", D::Area, Us, (64_516, 100_000_000), "mm²", &["in2"]),
    unit("ft²", D::Area, Us, (9_290_304, 100_000_000), "m²", &["ft2"]),
    unit("mL", D::Volume, Si, (1, 1_000_000), "fl oz", &["ml"]),
    unit("cm³", D::Volume, Si, (1, 1_000_000), "in³", &["cm3", "cc"]),
    unit("L", D::Volume, Si, (1, 1_000), "gal", &["l"]),
    unit("m³", D::Volume, Si, (1, 1), "ft³", &["m3"]),
    any_case(unit("fl oz", D::Volume, Us, (GALLON.0, GALLON.1 * 128), "mL", &["floz"])),
    any_case(unit("pt", D::Volume, Us, (GALLON.0, GALLON.1 * 8), "L", &["pint"])),
    any_case(unit("qt", D::Volume, Us, (GALLON.0, GALLON.1 * 4), "L", &["quart"])),
    any_case(unit("gal", D::Volume, Us, GALLON, "L", &["gallon", "gallons"])),
    unit("in³", D::Volume, Us, (16_387_064, 1_000_000_000_000), "cm³", &["in3", "cuin"]),
    unit("ft³", D::Volume, Us, (28_316_846_592, 1_000_000_000_000), "m³", &["ft3"]),
    unit("g", D::Mass, Si, (1, 1_000), "oz", &[]),
    unit("kg", D::Mass, Si, (1, 1), "lb", &[]),
    unit("t", D::Mass, Si, (1_000, 1), "lb", &[]),
    unit("oz", D::Mass, Us, (45_359_237, 1_600_000_000), "g", &[]),
    any_case(unit("lb", D::Mass, Us, (45_359_237, 100_000_000), "kg", &["lbs", "pound", "pounds"])),
    unit("N", D::Force, Si, (1, 1), "lbf", &[]),
    unit("kN", D::Force, Si, (1_000, 1), "lbf", &[]),
    unit("kgf", D::Force, Si, (980_665, 100_000), "lbf", &[]),
    any_case(unit("lbf", D::Force, Us, LBF, "N", &[])),
    unit("N m", D::Torque, Si, (1, 1), "lbf ft", &["N-m"]),
    unit("kgf m", D::Torque, Si, (980_665, 100_000), "lbf ft", &[]),
    any_case(unit("lbf ft", D::Torque, Us, LBF_FT, "N m", &["ftlbf", "ftlb", "lbft", "ft-lbf", "ft-lb", "lbf-ft", "lb-ft"])),
    any_case(unit("lbf in", D::Torque, Us, LBF_IN, "N m", &["inlbf", "inlb", "lbin", "in-lbf", "in-lb", "lbf-in", "lb-in"])),
    unit("Pa", D::GaugePressure, Si, (1, 1), "psi", &[]),
    unit("mbar", D::GaugePressure, Si, (100, 1), "psi", &[]),
    unit("kPa", D::GaugePressure, Si, (1_000, 1), "psi", &[]),
    any_case(unit("bar", D::GaugePressure, Si, (100_000, 1), "psi", &["barg", "bars"])),
    unit("MPa", D::GaugePressure, Si, (1_000_000, 1), "psi", &[]),
    any_case(unit("psi", D::GaugePressure, Us, PSI, "bar", &["psig"])),
    unit("inHg", D::GaugePressure, Us, (3_386_389, 1_000), "kPa", &[]),
    unit("Pa abs", D::AbsolutePressure, Si, (1, 1), "psi abs", &[]),
    unit("mbar abs", D::AbsolutePressure, Si, (100, 1), "psi abs", &[]),
    unit("kPa abs", D::AbsolutePressure, Si, (1_000, 1), "psi abs", &[]),
    any_case(unit("bar abs", D::AbsolutePressure, Si, (100_000, 1), "psi abs", &["bara"])),
    unit("MPa abs", D::AbsolutePressure, Si, (1_000_000, 1), "psi abs", &[]),
    unit("atm", D::AbsolutePressure, Si, (101_325, 1), "psi abs", &[]),
    any_case(unit("psi abs", D::AbsolutePressure, Us, PSI, "bar abs", &["psia"])),
    Unit { symbol: "°C", dimension: D::Temperature, system: Si, factor: (1, 1), offset: (27_315, 100), counterpart: "°F", spellings: &["degc"], any_case: true },
    Unit { symbol: "°F", dimension: D::Temperature, system: Us, factor: (5, 9), offset: (45_967, 100), counterpart: "°C", spellings: &["degf"], any_case: true },
    unit("K", D::TemperatureDifference, Si, (1, 1), "Δ°F", &["Δ°C", "Δ°c"]),
    unit("Δ°F", D::TemperatureDifference, Us, (5, 9), "K", &["Δ°f"]),
    once("ms", D::Time, (1, 1_000), &[]),
    once("s", D::Time, (1, 1), &["sec"]),
    any_case(once("min", D::Time, (60, 1), &["minute", "minutes"])),
    once("h", D::Time, (3_600, 1), &["hour", "hours"]),
    once("d", D::Time, (86_400, 1), &["day", "days"]),
    once("mV", D::Voltage, (1, 1_000), &[]),
    once("V", D::Voltage, (1, 1), &["v", "volt", "volts"]),
    once("kV", D::Voltage, (1_000, 1), &[]),
    once("µA", D::Current, (1, 1_000_000), &["uA"]),
    once("mA", D::Current, (1, 1_000), &[]),
    once("A", D::Current, (1, 1), &["amp", "amps"]),
    once("mΩ", D::Resistance, (1, 1_000), &["mohm"]),
    once("Ω", D::Resistance, (1, 1), &["ohm", "ohms"]),
    once("kΩ", D::Resistance, (1_000, 1), &["kohm"]),
    once("MΩ", D::Resistance, (1_000_000, 1), &["Mohm", "megohm"]),
    unit("W", D::Power, Si, (1, 1), "hp", &["watt", "watts"]),
    unit("kW", D::Power, Si, (1_000, 1), "hp", &[]),
    unit("hp", D::Power, Us, (LBF_FT.0 * 550, LBF_FT.1), "W", &[]),
    once("A h", D::Charge, (3_600, 1), &["Ah"]),
    once("mA h", D::Charge, (36, 10), &["mAh"]),
    once("Hz", D::Frequency, (1, 1), &[]),
    once("kHz", D::Frequency, (1_000, 1), &[]),
    any_case(once("rpm", D::Frequency, (1, 60), &["r/min", "1/min"])),
    any_case(once("°", D::Angle, (1, 1), &["deg", "degree", "degrees"])),
    unit("mm/s", D::Speed, Si, (1, 1_000), "in/s", &[]),
    unit("m/s", D::Speed, Si, (1, 1), "mph", &[]),
    unit("km/h", D::Speed, Si, (1_000, 3_600), "mph", &["kmh"]),
    unit("in/s", D::Speed, Us, (254, 10_000), "mm/s", &[]),
    unit("ft/s", D::Speed, Us, (3_048, 10_000), "m/s", &[]),
    any_case(unit("mph", D::Speed, Us, (1_609_344, 3_600_000), "km/h", &["mi/h"])),
    unit("mL/min", D::FlowRate, Si, (1, 60_000_000), "fl oz/min", &["ml/min"]),
    unit("L/min", D::FlowRate, Si, (1, 60_000), "gal/min", &["l/min"]),
    unit("fl oz/min", D::FlowRate, Us, (GALLON.0, GALLON.1 * 128 * 60), "mL/min", &[]),
    any_case(unit("gal/min", D::FlowRate, Us, (GALLON.0, GALLON.1 * 60), "L/min", &["gpm"])),
    once("mm²/s", D::Viscosity, (1, 1_000_000), &["mm2/s", "cSt", "cst"]),
    once("%", D::Ratio, (1, 100), &["percent"]),
];

/// Every way to write a unit, squeezed: symbols win over spellings.
static WRITTEN: LazyLock<BTreeMap<String, &Unit>> = LazyLock::new(|| {
    let symbols = UNITS.iter().map(|unit| (squeezed(unit.symbol), unit));
    let spellings = UNITS.iter().flat_map(|unit| unit.spellings.iter().map(move |known| (squeezed(known), unit)));
    let mut written = BTreeMap::new();
    for (known, unit) in symbols.chain(spellings) {
        written.entry(known).or_insert(unit);
    }
    written
});

/// The unit with this symbol or spelling. Capitals count where they decide a factor (`mA` is not `MA`, nor `Mohm` a
/// `mohm`) and are forgiven elsewhere (`GPM`).
pub(super) fn find(written: &str) -> Option<&'static Unit> {
    let squeezed = squeezed(written);
    if let Some(unit) = WRITTEN.get(&squeezed) {
        return Some(unit);
    }
    let unit = WRITTEN.get(&squeezed.to_lowercase())?;
    unit.any_case.then_some(*unit)
}

/// The unit with this symbol.
pub(super) fn by_symbol(symbol: &str) -> Option<&'static Unit> {
    UNITS.iter().find(|unit| unit.symbol == symbol)
}

/// The units of one dimension, in the order of the table.
pub fn of_dimension(dimension: Dimension) -> impl Iterator<Item = &'static Unit> {
    UNITS.iter().filter(move |unit| unit.dimension == dimension)
}

/// The symbol nearest to what was written.
pub(super) fn nearest(written: &str) -> Option<&'static str> {
    let same = UNITS.iter().find(|unit| squeezed(unit.symbol).to_lowercase() == squeezed(written).to_lowercase());
    same.map(|unit| unit.symbol).or_else(|| crate::text::nearest(written, UNITS.iter().map(|unit| unit.symbol)))
}

/// All symbols, for a message.
pub(super) fn symbols() -> Vec<&'static str> {
    UNITS.iter().map(|unit| unit.symbol).collect()
}

/// All units.
#[cfg(test)]
pub(super) fn all() -> &'static [Unit] {
    UNITS
}

/// Without spaces and multiplication signs, raised digits lowered.
pub fn squeezed(written: &str) -> String {
    let kept = written.chars().filter(|letter| !letter.is_whitespace() && !matches!(letter, '·' | '*' | '⋅'));
    kept.map(|letter| match letter {
        '²' => '2',
        '³' => '3',
        // Look-alikes: Greek mu for the micro sign, ohm sign for omega, increment for delta.
        '\u{3bc}' => 'µ',
        '\u{2126}' => '\u{3a9}',
        '\u{2206}' => '\u{394}',
        other => other,
    })
    .collect()
}
