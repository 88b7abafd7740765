//! Voltages at the test points of a path, from the supply to ground, as what is lost between them.

use num_traits::CheckedSub;

use crate::model::quantity::Exact;

/// What is lost between two neighbouring test points.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Stretch {
    /// Place of the first of the two.
    pub after: usize,
    /// In volt.
    pub lost: Exact,
}

/// The losses between neighbours that were both measured. The voltage falls towards ground, so a loss below nothing
/// means that the probe or the order was wrong.
pub fn lost(volts: &[Option<Exact>]) -> Vec<Stretch> {
    let pairs = volts.windows(2).enumerate();
    pairs
        .filter_map(|(after, pair)| match pair {
            [Some(first), Some(second)] => Some(Stretch { after, lost: first.checked_sub(second)? }),
            _ => None,
        })
        .collect()
}

/// The stretch that loses most beyond what its wires may, the first of equals; `may` has what each stretch may lose.
pub fn worst(stretches: &[Stretch], may: &[Exact]) -> Option<Stretch> {
    let beyond = |stretch: &Stretch| stretch.lost.checked_sub(may.get(stretch.after)?);
    let mut worst: Option<(Exact, Stretch)> = None;
    for stretch in stretches {
        let Some(beyond) = beyond(stretch).filter(|beyond| *beyond > Exact::from_integer(0)) else { continue };
        if worst.is_none_or(|(most, _)| beyond > most) {
            worst = Some((beyond, *stretch));
        }
    }
    worst.map(|(_, stretch)| stretch)
}
