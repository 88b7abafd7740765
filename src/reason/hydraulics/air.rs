//! Air in hoses: what is left of a pocket under pressure, and what that costs a cylinder in stroke.
//!
//! Absolute pressures throughout. Slowly, air keeps the temperature of its surroundings (isothermal, V p constant); at
//! once, it keeps its heat (adiabatic, exponent 1.4). Real strokes lie between. Elementary gas laws; hose walls and
//! fluid are taken as stiff.

use super::cylinder::Sizes;
use super::exact::{add, div, mul, pi, sub, zero};
use crate::model::quantity::{Exact, Quantity};
use crate::model::{Actuator, Circuit, Guide, Hose, Id, Side, Varied};
use crate::reason::readings::band_of;
use crate::reason::{Chamber, HoseFacts, Machine, holds, value_on};

/// One standard atmosphere in Pa, exact by definition: what a gauge reads as nothing.
pub const ATMOSPHERE: i128 = 101_325;
/// Fixed point of the seventh root: eighteen digits.
const ONE: i128 = 1_000_000_000_000_000_000;

/// What one pocket at the limit for one line costs on one machine.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pocket {
    pub hose: Id<Hose>,
    /// The chambers the hose serves.
    pub serves: Vec<Chamber>,
    /// The pocket without pressure, in m³.
    pub volume: Exact,
    /// The gauge pressure it is squeezed by, in Pa.
    pub pressure: Exact,
    /// The stroke that is lost while it is squeezed at once, and once it has cooled, in m.
    pub at_once: Exact,
    pub settled: Exact,
}

/// The air limits of one circuit on one machine.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct AirFacts {
    /// The band of the air reading that begins at the limit of one line, by its place.
    pub limit_band: Option<usize>,
    /// One for each hose that serves a cylinder and whose bore is known, row by row.
    pub pockets: Vec<Pocket>,
}

/// What is left of a volume under a gauge pressure, slowly.
pub fn isothermal(volume: Exact, gauge: Exact) -> Option<Exact> {
    mul(volume, share(gauge)?)
}

/// What is left of a volume under a gauge pressure, at once: the share to the power 1/1.4, which is 5/7.
pub fn adiabatic(volume: Exact, gauge: Exact) -> Option<Exact> {
    let share = share(gauge)?;
    let fixed = share.numer().checked_mul(ONE)?.checked_div(*share.denom())?;
    let root = seventh_root(fixed)?;
    let square = root.checked_mul(root)? / ONE;
    let fourth = square.checked_mul(square)? / ONE;
    // Nine digits are more than any gauge shows, and keep what follows small.
    let fifth = fourth.checked_mul(root)? / ONE / 1_000_000_000;
    mul(volume, Exact::new(fifth, 1_000_000_000))
}

/// How a pocket gives way, in m³ a Pa: what it loses by a little more pressure, slowly.
pub fn compliance(volume: Exact, gauge: Exact) -> Option<Exact> {
    div(isothermal(volume, gauge)?, add(gauge, Exact::from_integer(ATMOSPHERE))?)
}

/// The share of a volume that is left, slowly; `None` at or below a vacuum.
fn share(gauge: Exact) -> Option<Exact> {
    let atmosphere = Exact::from_integer(ATMOSPHERE);
    let absolute = add(gauge, atmosphere)?;
    if absolute <= zero() { None } else { div(atmosphere, absolute) }
}

/// The seventh root of a share in fixed point, by Newton's steps from above.
fn seventh_root(share: i128) -> Option<i128> {
    if !(1..=ONE).contains(&share) {
        return None;
    }
    let mut root = ONE;
    loop {
        let square = root.checked_mul(root)? / ONE;
        let sixth = (square.checked_mul(square)? / ONE).checked_mul(square)? / ONE;
        let next = (root * 6 + share.checked_mul(ONE)?.checked_div(sixth)?) / 7;
        if next >= root {
            return Some(root);
        }
        root = next;
    }
}

/// Works out the air limits of a circuit; `None` where it states none for this machine.
pub fn air(guide: &Guide, hoses: &HoseFacts, circuit: &Circuit, machine: &Machine) -> Option<AirFacts> {
    let limits = circuit.air.as_ref()?;
    let length = base(&limits.per_line, machine)?;
    let reading = limits.reading.as_ref().and_then(|link| guide.readings.get(&link.value));
    let begins = |place: &usize| {
        let band = reading.and_then(|reading| reading.bands.get(*place));
        band.and_then(|band| band.from.as_ref()).is_some_and(|from| from.value.base() == length)
    };
    let limit_band = reading.and_then(|reading| band_of(reading, machine, length)).filter(begins);
    let served = hoses.machines.iter().find(|known| known.machine == *machine)?;
    let pressure = circuit.pumps.iter().find_map(|pump| base(&pump.pressure, machine));
    let pocket = |hose: &Hose| {
        let id = Id::new(hose.id.value.as_str());
        let serves: Vec<Chamber> = served.serves.get(&id)?.nearest().iter().cloned().collect();
        let bore = base(&hose.bore, machine)?;
        let volume = mul(mul(mul(bore, bore)?, mul(pi(), Exact::new(1, 4))?)?, length)?;
        let area =
            serves.iter().map(|it| chamber_area(circuit, it, machine)).try_fold(zero(), |all, it| add(all, it?))?;
        let lost = |left: Option<Exact>| div(sub(volume, left?)?, area);
        let pressure = pressure?;
        let at_once = lost(adiabatic(volume, pressure))?;
        Some(Pocket { hose: id, serves, volume, pressure, at_once, settled: lost(isothermal(volume, pressure))? })
    };
    let here = circuit.hoses.iter().filter(|hose| holds(hose.variants.as_deref(), machine));
    Some(AirFacts { limit_band, pockets: here.filter_map(pocket).collect() })
}

fn chamber_area(circuit: &Circuit, chamber: &Chamber, machine: &Machine) -> Option<Exact> {
    let named = |it: &&Actuator| it.id.value == chamber.actuator.as_str();
    let actuator = circuit.actuators.iter().find(named)?;
    let rod = base(&actuator.rod_diameter, machine);
    let sizes = Sizes { bore: base(&actuator.bore, machine)?, rod: rod.unwrap_or_else(zero) };
    if chamber.side == Side::Rod { sizes.rod_side_area() } else { sizes.cap_area() }
}

fn base(values: &Varied<Quantity>, machine: &Machine) -> Option<Exact> {
    value_on(values, machine).map(|value| value.value.value.base())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::model::quantity::plain;

    fn mm(value: i128) -> Exact {
        Exact::new(value, 1000)
    }

    /// In millilitres, to four places.
    fn shown(volume: Option<Exact>) -> String {
        plain(volume.unwrap() * Exact::from_integer(1_000_000), 4)
    }

    /// 10 mL at 1.01325 bar: values recomputed apart from this code from the gas laws.
    #[test]
    fn ten_millilitres_shrink_as_the_gas_laws_say() {
        let volume = Exact::new(10, 1_000_000);
        let bar = |bar: i128| Exact::from_integer(bar * 100_000);
        assert_eq!(shown(isothermal(volume, bar(100))), "0.1003");
        assert_eq!(shown(adiabatic(volume, bar(100))), "0.3736");
        assert_eq!(plain(isothermal(volume, bar(10)).unwrap() * Exact::from_integer(1_000_000), 3), "0.92");
        assert_eq!(plain(adiabatic(volume, bar(10)).unwrap() * Exact::from_integer(1_000_000), 3), "1.819");
    }

    /// 10 mL lost on a bore of 25 mm at 100 bar: 20.2 mm (recomputed apart from this code).
    #[test]
    fn ten_millilitres_cost_twenty_millimetres_on_a_bore_of_twenty_five() {
        let volume = Exact::new(10, 1_000_000);
        let left = isothermal(volume, Exact::from_integer(10_000_000)).unwrap();
        let area = Sizes { bore: mm(25), rod: mm(14) }.cap_area().unwrap();
        assert_eq!(plain((volume - left) / area * Exact::from_integer(1000), 1), "20.2");
    }

    #[test]
    fn pressure_never_makes_air_grow_and_nothing_is_below_a_vacuum() {
        let volume = Exact::new(1, 1_000_000);
        let mut before = (volume, volume);
        for kilopascal in (0..40_000).step_by(250) {
            let gauge = Exact::from_integer(kilopascal * 1000);
            let now = (isothermal(volume, gauge).unwrap(), adiabatic(volume, gauge).unwrap());
            assert!(now.0 <= before.0 && now.1 <= before.1 && now.0 <= now.1, "{kilopascal}");
            assert!(compliance(volume, gauge).unwrap() > zero());
            before = now;
        }
        assert_eq!(isothermal(volume, Exact::from_integer(-ATMOSPHERE)), None);
        assert_eq!(adiabatic(volume, zero()), Some(volume));
    }
}
