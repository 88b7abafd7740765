//! One cylinder between two regions: what moves it, and how.
//!
//! Quasi-static: pressure rises until the first thing gives. All other cylinders stand, so that what decides whose turn
//! it is (steel, or the heavier load) changes nothing here.

use super::cylinder::Sizes;
use super::exact::{add, div, mul, sub, zero};
use super::facts::ActuatorDoes;
use super::net::{Pull, Ram};
use crate::model::Motion;
use crate::model::quantity::Exact;

/// What the network offers the two chambers of a cylinder.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(super) struct Offer {
    /// The pressure lost from the pump to each chamber; `None` where no pressure reaches it.
    pub(super) to_cap: Option<Exact>,
    pub(super) to_rod: Option<Exact>,
    /// The pressure at which each chamber lets fluid out to a reservoir; `None` where it is shut.
    pub(super) cap_opens: Option<Exact>,
    pub(super) rod_opens: Option<Exact>,
    /// The pressure lost from the rod side to the cap side, where there is such a way.
    pub(super) across: Option<Exact>,
    /// Both sides hang on one space.
    pub(super) one_space: bool,
    /// The pressure at the pump when nothing moves; `None` where nothing limits it.
    pub(super) most: Option<Exact>,
    /// The cap side, or the rod side, empties through a pilot check that the running pump holds open.
    pub(super) cap_braked: bool,
    pub(super) rod_braked: bool,
}

/// What a cylinder makes of it.
#[derive(Debug, Clone)]
pub(super) struct Solved {
    pub(super) does: ActuatorDoes,
    pub(super) load_moves: Option<Motion>,
    pub(super) metered: bool,
    /// The area that the pump's flow fills; `None` where the pump does not drive it.
    pub(super) fills: Option<Exact>,
    /// Pressure in cap and rod side while it moves.
    pub(super) cap_pressure: Exact,
    pub(super) rod_pressure: Exact,
    /// The pressure at the pump while it moves.
    pub(super) needs: Option<Exact>,
    pub(super) force: Option<Exact>,
    pub(super) squeezed: Option<Exact>,
}

/// Areas and load of a cylinder; a missing size counts as bore to rod as two to one in area.
#[derive(Debug, Clone, Copy)]
pub(super) struct Body {
    pub(super) cap: Exact,
    pub(super) rod_side: Exact,
    /// What pushes the rod in; below zero where it pulls out.
    pub(super) load: Exact,
}

/// A load without a figure presses with this pressure on the piston: light enough never to stall a sound circuit.
const LIGHT_LOAD: Exact = Exact::new_raw(500_000, 1);

impl Body {
    pub(super) fn of(ram: &Ram) -> Option<Self> {
        let areas = ram.sizes.and_then(areas);
        let (cap, rod_side) = areas.unwrap_or((Exact::new(2, 1000), Exact::new(1, 1000)));
        let written = ram.load_force.filter(|_| areas.is_some());
        let size = match written {
            Some(force) => force,
            None => mul(cap, LIGHT_LOAD)?,
        };
        let load = match ram.load {
            Pull::In => size,
            Pull::Out => -size,
            Pull::None => zero(),
        };
        Some(Self { cap, rod_side, load })
    }
}

fn areas(sizes: Sizes) -> Option<(Exact, Exact)> {
    Some((sizes.cap_area()?, sizes.rod_side_area()?))
}

impl Solved {
    fn still(does: ActuatorDoes) -> Self {
        Self {
            does,
            load_moves: None,
            metered: false,
            fills: None,
            cap_pressure: zero(),
            rod_pressure: zero(),
            needs: None,
            force: None,
            squeezed: None,
        }
    }
}

/// A movement that the network allows, and the pressures it takes.
struct Stroke {
    does: ActuatorDoes,
    cap_pressure: Exact,
    rod_pressure: Exact,
    needs: Exact,
    fills: Exact,
    braked: bool,
}

/// Works out what a cylinder does.
pub(super) fn solve(body: Body, offer: &Offer) -> Option<Solved> {
    let strokes = [extending(body, offer), retracting(body, offer)];
    let fed = offer.to_cap.is_some() || offer.to_rod.is_some();
    for stroke in strokes.into_iter().flatten() {
        if offer.most.is_none_or(|most| stroke.needs < most) {
            return moved(body, offer, &stroke);
        }
    }
    let falls = falling(body, offer);
    if !fed {
        let loose = offer.cap_opens == Some(zero()) && offer.rod_opens == Some(zero());
        let does = if falls.is_some() || loose { ActuatorDoes::Floats } else { ActuatorDoes::Rests };
        return Some(Solved { load_moves: falls, ..Solved::still(does) });
    }
    stuck(body, offer, falls)
}

/// The pump pushes the rod out.
fn extending(body: Body, offer: &Offer) -> Option<Stroke> {
    let to_cap = offer.to_cap?;
    let through_tank = offer.rod_opens.and_then(|rod| {
        let cap = div(add(mul(rod, body.rod_side)?, body.load)?, body.cap)?;
        Some((ActuatorDoes::Extends, cap, rod, body.cap))
    });
    let around = offer.across.and_then(|lost| {
        let net = sub(body.cap, body.rod_side)?;
        let cap = div(add(mul(lost, body.rod_side)?, body.load)?, net)?;
        Some((ActuatorDoes::Regenerates, cap, add(cap, lost)?, net))
    });
    let easier = [through_tank, around].into_iter().flatten().min_by(|one, other| one.1.cmp(&other.1))?;
    let (does, cap_pressure, rod_pressure, fills) = easier;
    let needs = add(cap_pressure.max(zero()), to_cap)?;
    Some(Stroke { does, cap_pressure, rod_pressure, needs, fills, braked: offer.rod_braked })
}

/// The pump pulls the rod in.
fn retracting(body: Body, offer: &Offer) -> Option<Stroke> {
    // On one space the pump pushes out on the area of the rod: only a load can take it in.
    let (to_rod, cap_pressure) = (offer.to_rod.filter(|_| !offer.one_space)?, offer.cap_opens?);
    let rod_pressure = div(sub(mul(cap_pressure, body.cap)?, body.load)?, body.rod_side)?;
    let needs = add(rod_pressure.max(zero()), to_rod)?;
    let does = ActuatorDoes::Retracts;
    Some(Stroke { does, cap_pressure, rod_pressure, needs, fills: body.rod_side, braked: offer.cap_braked })
}

fn moved(body: Body, offer: &Offer, stroke: &Stroke) -> Option<Solved> {
    let extends = stroke.does != ActuatorDoes::Retracts;
    // Where the load drives, the driven side runs empty and only a pilot check on the other side brakes it.
    let driven = if extends { stroke.cap_pressure < zero() } else { stroke.rod_pressure < zero() };
    let way = if extends { Motion::Extends } else { Motion::Retracts };
    Some(Solved {
        does: stroke.does,
        load_moves: (driven && !stroke.braked).then_some(way),
        metered: driven && stroke.braked,
        fills: Some(stroke.fills),
        cap_pressure: stroke.cap_pressure.max(zero()),
        rod_pressure: stroke.rod_pressure.max(zero()),
        needs: Some(stroke.needs),
        force: strength(body, offer, stroke),
        squeezed: None,
    })
}

/// The most it can push or pull: the pump at its limit.
fn strength(body: Body, offer: &Offer, stroke: &Stroke) -> Option<Exact> {
    let most = offer.most?;
    match stroke.does {
        ActuatorDoes::Retracts => {
            let rod = sub(most, offer.to_rod?)?;
            sub(mul(rod, body.rod_side)?, mul(stroke.cap_pressure, body.cap)?)
        }
        ActuatorDoes::Regenerates => {
            let cap = sub(most, offer.to_cap?)?;
            sub(mul(cap, body.cap)?, mul(add(cap, offer.across?)?, body.rod_side)?)
        }
        _ => {
            let cap = sub(most, offer.to_cap?)?;
            sub(mul(cap, body.cap)?, mul(stroke.rod_pressure, body.rod_side)?)
        }
    }
}

/// The way the load takes the rod when the pump does nothing for it.
fn falling(body: Body, offer: &Offer) -> Option<Motion> {
    let gives = |opens: Option<Exact>, area: Exact, load: Exact| {
        opens.and_then(|opens| mul(opens, area)).is_some_and(|holds| load > holds)
    };
    let against = if offer.one_space { sub(body.cap, body.rod_side).unwrap_or(body.cap) } else { body.cap };
    if gives(offer.cap_opens, against, body.load) {
        return Some(Motion::Retracts);
    }
    gives(offer.rod_opens, body.rod_side, -body.load).then_some(Motion::Extends)
}

/// Pressure reaches it and it does not move: too weak, or shut in.
fn stuck(body: Body, offer: &Offer, falls: Option<Motion>) -> Option<Solved> {
    if let Some(way) = falls.filter(|_| !held_by_pressure(body, offer, falls)) {
        return Some(Solved { load_moves: Some(way), ..Solved::still(ActuatorDoes::Floats) });
    }
    let unloaded = Body { load: zero(), ..body };
    let free = [extending(unloaded, offer), retracting(unloaded, offer)];
    let weak = free.into_iter().flatten().find(|stroke| offer.most.is_none_or(|most| stroke.needs < most));
    if let Some(stroke) = weak {
        return Some(Solved { force: strength(body, offer, &stroke), ..Solved::still(ActuatorDoes::Stalls) });
    }
    Some(Solved { squeezed: squeezed(body, offer), ..Solved::still(ActuatorDoes::Locked) })
}

/// The pump's pressure under the piston can carry the load, though it cannot move it.
fn held_by_pressure(body: Body, offer: &Offer, falls: Option<Motion>) -> bool {
    let cap = if offer.one_space { sub(body.cap, body.rod_side).unwrap_or(body.cap) } else { body.cap };
    let (lost, area, load) = match falls {
        Some(Motion::Retracts) => (offer.to_cap, cap, body.load),
        _ => (offer.to_rod, body.rod_side, -body.load),
    };
    let Some(lost) = lost else { return false };
    let Some(most) = offer.most else { return true };
    sub(most, lost).and_then(|pressure| mul(pressure, area)).is_some_and(|holds| load <= holds)
}

/// The pressure its piston makes in the side that is shut in, at the pump's limit.
fn squeezed(body: Body, offer: &Offer) -> Option<Exact> {
    let most = offer.most?;
    let offered = |lost: Option<Exact>| lost.and_then(|lost| sub(most, lost)).unwrap_or_else(zero);
    if let Some(to_cap) = offer.to_cap {
        let push = sub(mul(sub(most, to_cap)?, body.cap)?, body.load)?;
        let rod = div(push, body.rod_side)?;
        let rod = offer.rod_opens.map_or(rod, |opens| rod.min(opens));
        return (rod > offered(offer.to_rod)).then_some(rod);
    }
    let pull = add(mul(sub(most, offer.to_rod?)?, body.rod_side)?, body.load)?;
    let cap = div(pull, body.cap)?;
    let cap = offer.cap_opens.map_or(cap, |opens| cap.min(opens));
    (cap > offered(offer.to_cap)).then_some(cap)
}
