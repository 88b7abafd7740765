//! Symbols after ISO 1219-1, from memory: the standard was not opened.

use crate::model::PassageKind;
use crate::render::drawings::svg::Pen;

/// Half the height of a valve's symbol.
pub(super) const HALF: i32 = 17;

/// A valve on a vertical lane, around (`x`, `y`). `upwards` is the way fluid passes it freely, or towards its outlet.
pub(super) fn valve(pen: &mut Pen, kind: PassageKind, x: i32, y: i32, upwards: bool) {
    let line = |pen: &mut Pen, data: String| pen.path("c-line", &data, None);
    let way = if upwards { -1 } else { 1 };
    match kind {
        PassageKind::Open => line(pen, format!("M{x} {}V{}", y - HALF, y + HALF)),
        PassageKind::Check | PassageKind::PilotCheck => {
            // Seat towards the inlet, ball behind it.
            let (seat, ball) = (y - way * 8, y + way);
            line(pen, format!("M{x} {}V{}M{x} {}V{}", y - way * HALF, seat + way, ball + way * 7, y + way * HALF));
            line(pen, format!("M{} {}L{x} {seat}L{} {}", x - 10, seat + way * 10, x + 10, seat + way * 10));
            circle(pen, x, ball, 7);
        }
        PassageKind::Relief => {
            line(pen, format!("M{} {}h24v24h-24z", x - 12, y - 12));
            line(pen, format!("M{x} {}V{}M{x} {}V{}", y - HALF, y - 12, y + 12, y + HALF));
            // The arrow stands beside the way until pressure, led round from the inlet, pushes it over.
            line(pen, format!("M{} {}V{}", x - 4, y - way * 11, y + way * 11));
            pen.path("c-fill", &format!("M{} {}l-4 {}h8z", x - 4, y + way * 12, -way * 8), None);
            line(pen, format!("M{} {}l3 -3 3 6 3 -6 3 3", x + 12, y));
            pen.path("c-line c-pilot", &format!("M{x} {}h-18v{}h6", y - way * 15, way * 15), None);
        }
        PassageKind::Restrictor => {
            line(pen, format!("M{x} {}V{}", y - HALF, y + HALF));
            line(pen, format!("M{} {}q7 8 0 16M{} {}q-7 8 0 16", x - 8, y - 8, x + 8, y - 8));
        }
        PassageKind::HandValve => {
            line(pen, format!("M{x} {}V{}M{x} {}V{}", y - HALF, y - 11, y + 11, y + HALF));
            line(pen, format!("M{} {}h16l-16 22h16z", x - 8, y - 11));
            line(pen, format!("M{x} {y}h13M{} {}v12", x + 13, y - 6));
        }
    }
}

/// A circle.
pub(super) fn circle(pen: &mut Pen, x: i32, y: i32, radius: i32) {
    let across = radius * 2;
    pen.path(
        "c-line",
        &format!("M{} {y}a{radius} {radius} 0 1 0 {across} 0a{radius} {radius} 0 1 0 -{across} 0z", x - radius),
        None,
    );
}

/// A pump that delivers both ways, or one way where it has one outlet; with its motor, or the lever of a hand.
pub(super) fn pump(pen: &mut Pen, x: i32, y: i32, both: bool, by_hand: bool) {
    circle(pen, x, y, 18);
    pen.path("c-fill", &format!("M{} {y}l10 -6v12z", x - 18), None);
    if both {
        pen.path("c-fill", &format!("M{} {y}l-10 -6v12z", x + 18), None);
    }
    if by_hand {
        pen.path("c-line", &format!("M{x} {}v14M{} {}h36", y + 18, x - 18, y + 32), None);
    } else {
        pen.path("c-line", &format!("M{} {}v8M{} {}v8", x - 2, y + 18, x + 2, y + 18), None);
        circle(pen, x, y + 39, 13);
        pen.text("c-mark", x.unsigned_abs(), (y + 44).unsigned_abs(), "middle", &["M".to_owned()]);
    }
}

/// A reservoir, open to the air.
pub(super) fn reservoir(pen: &mut Pen, left: i32, right: i32, top: i32) {
    pen.path("c-line", &format!("M{left} {top}v34h{}v-34", right - left), None);
}

/// A cylinder that acts both ways, or one way; its underside is at `y`.
pub(super) fn cylinder(pen: &mut Pen, left: i32, right: i32, y: i32) {
    let (top, piston) = (y - 30, left + (right - left) * 2 / 5);
    pen.path("c-field", &format!("M{left} {top}H{right}V{y}H{left}z"), None);
    pen.path("c-line", &format!("M{piston} {top}v30M{} {top}v30", piston + 7), None);
    pen.path("c-field", &format!("M{} {}H{}v8H{}z", piston + 7, y - 19, right + 22, piston + 7), None);
}
