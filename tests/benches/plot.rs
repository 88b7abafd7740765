//! The bench as a picture: one row a family; time and positions on a logarithmic scale, gap and excess in percent.

use std::fmt::Write as _;

use super::figures::Summary;

const NAMES: f64 = 190.0;
const WIDE: f64 = 170.0;
const SPACE: f64 = 36.0;
const ROW: f64 = 20.0;
const TOP: f64 = 44.0;

/// One column of the picture.
struct Column {
    title: &'static str,
    /// Ticks; the first and the last are the ends of the scale.
    ticks: &'static [f64],
    logarithmic: bool,
    /// Marks of a family: from, middle, to.
    marks: fn(&Summary) -> [f64; 3],
}

const COLUMNS: &[Column] = &[
    Column {
        title: "milliseconds: median to largest",
        ticks: &[0.1, 1.0, 10.0, 100.0, 1000.0],
        logarithmic: true,
        marks: |row| [row.time[0], row.time[1], row.time[2]],
    },
    Column {
        title: "positions opened: median to largest",
        ticks: &[10.0, 100.0, 1000.0, 10_000.0, 100_000.0],
        logarithmic: true,
        marks: |row| [row.nodes[0], row.nodes[1], row.nodes[2]],
    },
    Column {
        title: "gap %: mean to largest",
        ticks: &[0.0, 5.0, 10.0, 15.0, 20.0],
        logarithmic: false,
        marks: |row| [row.gap[0], row.gap[0], row.gap[1]],
    },
    Column {
        title: "trade order over plan %: mean to largest",
        ticks: &[0.0, 100.0, 200.0, 300.0, 400.0],
        logarithmic: false,
        marks: |row| [row.trade[0], row.trade[0], row.trade[1]],
    },
];

impl Column {
    fn place(&self, value: f64) -> f64 {
        let scale = |value: f64| if self.logarithmic { value.max(1e-9).log10() } else { value };
        let (first, last) = (scale(self.ticks[0]), scale(self.ticks[self.ticks.len() - 1]));
        ((scale(value) - first) / (last - first)).clamp(0.0, 1.0) * WIDE
    }
}

/// The picture as a file.
pub fn svg(rows: &[Summary]) -> String {
    let width = NAMES + COLUMNS.len() as f64 * (WIDE + SPACE);
    let height = TOP + rows.len() as f64 * ROW + 14.0;
    let mut out = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {width} {height}\" width=\"{width}\" height=\"{height}\" \
         role=\"img\" font-family=\"sans-serif\" font-size=\"11\">\n<title>The plan solver by family of faults</title>\n\
         <desc>Time, positions, gap and the excess of the trade order; the table beside it has the figures.</desc>\n\
         <rect width=\"{width}\" height=\"{height}\" fill=\"#fff\"/>\n"
    );
    for (at, row) in rows.iter().enumerate() {
        let y = TOP + at as f64 * ROW;
        let fill = if at % 2 == 0 { "#f2f2f2" } else { "#fff" };
        let _ = writeln!(out, "<rect y=\"{y}\" width=\"{width}\" height=\"{ROW}\" fill=\"{fill}\"/>");
        let _ = writeln!(out, "<text x=\"8\" y=\"{}\">{}</text>", y + 14.0, row.name);
    }
    for (at, column) in COLUMNS.iter().enumerate() {
        draw(&mut out, column, NAMES + at as f64 * (WIDE + SPACE), rows);
    }
    out.push_str("</svg>\n");
    out
}

fn draw(out: &mut String, column: &Column, left: f64, rows: &[Summary]) {
    let bottom = TOP + rows.len() as f64 * ROW;
    let _ = writeln!(out, "<text x=\"{left}\" y=\"14\" font-size=\"10\">{}</text>", column.title);
    for tick in column.ticks {
        let x = left + column.place(*tick);
        let _ = writeln!(out, "<path d=\"M{x:.1} {}V{bottom}\" stroke=\"#bbb\"/>", TOP - 6.0);
        let _ = writeln!(out, "<text x=\"{x:.1}\" y=\"34\" text-anchor=\"middle\" font-size=\"10\">{tick}</text>");
    }
    for (at, row) in rows.iter().enumerate() {
        let y = TOP + at as f64 * ROW + ROW / 2.0;
        let [from, middle, to] = (column.marks)(row).map(|value| left + column.place(value));
        let _ = writeln!(out, "<path d=\"M{from:.1} {y}H{to:.1}\" stroke=\"#1c5d8f\" stroke-width=\"3\"/>");
        let _ = writeln!(out, "<path d=\"M{middle:.1} {}v8M{to:.1} {}v8\" stroke=\"#1c5d8f\"/>", y - 4.0, y - 4.0);
        let _ = writeln!(out, "<circle cx=\"{from:.1}\" cy=\"{y}\" r=\"4\" fill=\"#1c5d8f\"/>");
    }
}
