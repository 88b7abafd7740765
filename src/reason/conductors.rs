//! Copper conductors: resistance and the fuse they bear, by cross-section.

use num_traits::CheckedMul;

use crate::model::quantity::Exact;

/// One cross-section.
#[derive(Debug)]
pub struct Conductor {
    /// Cross-section in hundredths of a square millimetre.
    hundredths: i128,
    /// Greatest resistance in micro-ohm per metre at 20 °C.
    micro_ohm_per_metre: i128,
    /// The largest fuse before it, in tenths of an ampere.
    fuse_tenths: i128,
}

const fn row(hundredths: i128, micro_ohm_per_metre: i128, fuse_tenths: i128) -> Conductor {
    Conductor { hundredths, micro_ohm_per_metre, fuse_tenths }
}

/// Resistances: IEC 60228 class 5, plain copper, greatest value at 20 °C (the standard was not opened; up to 10 mm2 two
/// tables agree, above that from memory). Fuses: common practice, no source; kept on the careful side of what single
/// wires on machines are loaded with.
static CONDUCTORS: [Conductor; 12] = [
    row(50, 39_000, 75),
    row(75, 26_000, 100),
    row(100, 19_500, 150),
    row(150, 13_300, 200),
    row(250, 7_980, 300),
    row(400, 4_950, 400),
    row(600, 3_300, 500),
    row(1_000, 1_910, 700),
    row(1_600, 1_210, 800),
    row(2_500, 780, 1_250),
    row(3_500, 554, 1_500),
    row(5_000, 386, 1_750),
];

/// The largest listed cross-section that is not above `area` (in square metres); `None` below the smallest.
pub fn conductor(area: Exact) -> Option<&'static Conductor> {
    CONDUCTORS.iter().rev().find(|row| Exact::new(row.hundredths, 100_000_000) <= area)
}

impl Conductor {
    /// Greatest resistance of a length in metres, in ohm; `None` where the number grows too large.
    pub fn resistance(&self, metres: Exact) -> Option<Exact> {
        metres.checked_mul(&Exact::new(self.micro_ohm_per_metre, 1_000_000))
    }

    /// The largest fuse before it, in ampere.
    pub fn largest_fuse(&self) -> Exact {
        Exact::new(self.fuse_tenths, 10)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// 15 A through an 8 m loop of 2.5 mm2, class 5, lose 0.958 V at 20 °C (computed apart from this code from the
    /// table's 7.98 ohm per km).
    #[test]
    fn a_loop_of_two_and_a_half_loses_what_the_table_says() {
        let wire = conductor(Exact::new(25, 10_000_000)).unwrap();
        let drop = wire.resistance(Exact::from_integer(8)).unwrap() * Exact::from_integer(15);
        assert_eq!(drop, Exact::new(9_576, 10_000));
    }

    #[test]
    fn a_size_between_two_rows_counts_as_the_thinner_and_below_the_table_as_nothing() {
        assert_eq!(conductor(Exact::new(3, 1_000_000)).unwrap().hundredths, 250);
        assert!(conductor(Exact::new(35, 100_000_000)).is_none());
    }

    #[test]
    fn thicker_wires_resist_less_and_bear_more() {
        assert!(CONDUCTORS.windows(2).all(|two| two[0].hundredths < two[1].hundredths
            && two[0].micro_ohm_per_metre > two[1].micro_ohm_per_metre
            && two[0].fuse_tenths < two[1].fuse_tenths));
    }
}
