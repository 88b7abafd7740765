//! Check values of single cylinders: elementary mechanics, recomputed apart from this code.

use super::*;

fn exact(above: i128, below: i128) -> Exact {
    Exact::new(above, below)
}

/// True where a value is the figure to within half of its last digit.
fn close(value: Exact, figure: Exact, half_digit: Exact) -> bool {
    value >= figure - half_digit && value <= figure + half_digit
}

fn cylinder(bore_mm: i128, rod_mm: i128) -> Sizes {
    Sizes { bore: exact(bore_mm, 1000), rod: exact(rod_mm, 1000) }
}

const MM2: (i128, i128) = (1, 1_000_000);

#[test]
fn a_bore_of_100_and_a_rod_of_70() {
    let one = cylinder(100, 70);
    let mm2 = |area: Exact| area / Exact::new(MM2.0, MM2.1);
    let (cap, ring) = (one.cap_area().unwrap(), one.rod_side_area().unwrap());
    // Recomputed: 7853.98 and 4005.53 mm2; 200 bar: 157.080 kN and 80.111 kN.
    assert!(close(mm2(cap), exact(785_398, 100), exact(5, 1000)));
    assert!(close(mm2(ring), exact(400_553, 100), exact(5, 1000)));
    let bar200 = exact(20_000_000, 1);
    assert!(close(force(bar200, cap).unwrap(), exact(157_080, 1), exact(1, 2)));
    assert!(close(force(bar200, ring).unwrap(), exact(80_111, 1), exact(1, 2)));
    // 40 L/min: 84.88 and 166.44 mm/s.
    let flow = exact(40, 60_000);
    assert!(close(speed(flow, cap).unwrap() * 1000, exact(8488, 100), exact(5, 1000)));
    assert!(close(speed(flow, ring).unwrap() * 1000, exact(16_644, 100), exact(5, 1000)));
    // 0.5 m: 3926.99 and 2002.77 mL, rod 1924.23 mL.
    let ml = |volume: Exact| volume * 1_000_000;
    assert!(close(ml(cap * exact(1, 2)), exact(392_699, 100), exact(5, 1000)));
    assert!(close(ml(ring * exact(1, 2)), exact(200_277, 100), exact(5, 1000)));
    assert!(close(ml(one.rod_volume(exact(1, 2)).unwrap()), exact(192_423, 100), exact(5, 1000)));
}

#[test]
fn a_bore_of_25_and_a_rod_of_14() {
    let one = cylinder(25, 14);
    let (cap, ring) = (one.cap_area().unwrap(), one.rod_side_area().unwrap());
    // Recomputed: 490.87 and 336.94 mm2; 100 bar: 4908.7 and 3369.4 N.
    assert!(close(cap * 1_000_000, exact(49_087, 100), exact(5, 1000)));
    assert!(close(ring * 1_000_000, exact(33_694, 100), exact(5, 1000)));
    let bar100 = exact(10_000_000, 1);
    assert!(close(force(bar100, cap).unwrap(), exact(49_087, 10), exact(5, 100)));
    assert!(close(force(bar100, ring).unwrap(), exact(33_694, 10), exact(5, 100)));
    // 200 mm: 98.175 and 67.387 mL, rod 30.788 mL; at 0.6 L/min 9.817 and 6.739 s.
    let stroke = exact(200, 1000);
    assert!(close(cap * stroke * 1_000_000, exact(98_175, 1000), exact(5, 10_000)));
    assert!(close(ring * stroke * 1_000_000, exact(67_387, 1000), exact(5, 10_000)));
    assert!(close(one.rod_volume(stroke).unwrap() * 1_000_000, exact(30_788, 1000), exact(5, 10_000)));
    let flow = exact(6, 600_000);
    assert!(close(stroke / speed(flow, cap).unwrap(), exact(98_175, 10_000), exact(5, 10_000)));
    assert!(close(stroke / speed(flow, ring).unwrap(), exact(67_387, 10_000), exact(5, 10_000)));
}

#[test]
fn six_inches_of_bore_and_three_of_rod() {
    // Recomputed: 2500 psi push 70,685.8 lbf and pull 53,014.4 lbf.
    let inch = exact(254, 10_000);
    let one = Sizes { bore: inch * 6, rod: inch * 3 };
    // The pound-force falls out of psi times square inches.
    let square_inches = |area: Exact| area / inch / inch;
    let lbf = |area: Exact| square_inches(area) * 2500;
    assert!(close(lbf(one.cap_area().unwrap()), exact(706_858, 10), exact(5, 100)));
    assert!(close(lbf(one.rod_side_area().unwrap()), exact(530_144, 10), exact(5, 100)));
}

#[test]
fn bars_on_square_millimetres_and_litres_a_minute() {
    // p[bar] A[mm2] / 10 = F[N]; v[mm/s] = 16666.7 Q[L/min] / A[mm2]: recomputed from the SI.
    let area = exact(1, 1_000_000);
    assert_eq!(force(exact(100_000, 1), area).unwrap(), exact(1, 10));
    assert!(close(speed(exact(1, 60_000), area).unwrap() * 1000, exact(166_667, 10), exact(5, 100)));
}

#[test]
fn a_rod_that_fills_the_bore_leaves_no_ring() {
    assert_eq!(cylinder(25, 25).rod_side_area(), None);
    assert_eq!(cylinder(25, 30).rod_side_area(), None);
}
