//! The pocket card on paper: pages, size, type, codes, and that the compiler's measure is what prints.

use std::{
    fs,
    path::{Path, PathBuf},
    process::Command,
};

use tempfile::TempDir;

use crate::publish::text;
use crate::site::content::{card_table, string};
use crate::site::{DEMO, Site, assert_none, compile, copy_guide, guide};

use super::paper::{MILLIMETRE, Paper, letters, print_to};

/// Width and height in millimetres of the cards that a guide may declare: A6 after ISO 216 (from memory), 3 by 5
/// inches, and A4 on its side (both faces on one page, to be folded); how many pages; how far text stays from the edge.
pub(super) const CARDS: [(&str, f64, f64, usize, f64); 3] =
    [("a6", 105.0, 148.0, 2, 4.5), ("3x5", 76.2, 127.0, 2, 3.5), ("folded-a4", 297.0, 210.0, 1, 8.5)];

/// Smallest type in points.
const SMALLEST: f64 = 7.0;

/// Prints the card of a site and looks at everything that holds for every card.
fn assert_is_card(site: &Site, size: &str, pdf: &Path) -> Paper {
    let paper = print_to(&site.folder, "card.html", pdf);
    let (_, width, height, sheets, margin) =
        *CARDS.iter().find(|(name, ..)| *name == size).expect("a size with a page");
    assert_eq!(paper.pages.len(), sheets, "pages of {size}");
    let card = &site.pages["card.html"];
    let faces: Vec<_> = card.classed("face").map(|(at, _)| at).collect();
    assert_eq!(faces.len(), 2);
    for sheet in &paper.pages {
        let near = |is: f64, should: f64| (is / MILLIMETRE - should).abs() < 0.5;
        assert!(near(sheet.width, width) && near(sheet.height, height), "{} by {} points", sheet.width, sheet.height);
        assert_none("words at the edge", &sheet.outside(margin));
    }
    for (number, face) in faces.into_iter().enumerate() {
        let printed = paper.pages[number.min(sheets - 1)].letters();
        let lost: Vec<_> = card
            .inside(face)
            .filter(|(_, inside)| matches!(inside.tag.as_str(), "h2" | "h3" | "p" | "li" | "dt" | "dd"))
            .filter(|(_, inside)| !printed.contains(&letters(&inside.text)))
            .map(|(_, inside)| format!("face {}: {}", number + 1, inside.text))
            .collect();
        assert_none("words that are not on the printed card", &lost);
    }
    assert_readable(pdf);
    paper
}

/// Every letter has the card's own type and is large enough, as pdffonts and pdftohtml of Poppler tell.
fn assert_readable(pdf: &Path) {
    assert_type_is_large(pdf);
    let fonts = poppler("pdffonts", &[], pdf);
    let foreign: Vec<String> =
        fonts.lines().skip(2).filter(|line| !line.contains("BayleafCard")).map(str::to_owned).collect();
    assert_none("type that is not the card's own", &foreign);
}

/// No letter is smaller than may be.
pub(super) fn assert_type_is_large(pdf: &Path) {
    const TIMES: f64 = 3.0;
    let xml = poppler("pdftohtml", &["-xml", "-i", "-stdout", "-zoom", "3"], pdf);
    let sizes: Vec<f64> = xml
        .split("<fontspec ")
        .skip(1)
        .map(|spec| spec.split("size=\"").nth(1).unwrap().split('"').next().unwrap().parse::<f64>().unwrap() / TIMES)
        .collect();
    let small: Vec<String> = sizes.iter().filter(|size| **size < SMALLEST - 0.06).map(ToString::to_string).collect();
    assert!(!sizes.is_empty());
    assert_none("type that is too small", &small);
}

pub(super) fn poppler(program: &str, before: &[&str], pdf: &Path) -> String {
    let output = Command::new(program).args(before).arg(pdf).output();
    let output = output.unwrap_or_else(|_| panic!("{program} could not be started; on Debian it is in poppler-utils"));
    assert!(output.status.success(), "{}", text(&output.stderr));
    text(&output.stdout)
}

/// The addresses that the codes on the printed card hold, sorted, as zbarimg reads them.
fn codes(pdf: &Path) -> Vec<String> {
    let base = pdf.with_extension("");
    let drawn = Command::new("pdftoppm").args(["-r", "300", "-png"]).arg(pdf).arg(&base).status().unwrap();
    assert!(drawn.success());
    let drawn = fs::read_dir(pdf.parent().unwrap()).unwrap().map(|entry| entry.unwrap().path());
    let pictures: Vec<PathBuf> = drawn.filter(|path| path.extension().is_some_and(|end| end == "png")).collect();
    let output =
        Command::new("zbarimg").args(["--raw", "--quiet", "-Sdisable", "-Sqrcode.enable"]).args(&pictures).output();
    let output = output.expect("zbarimg could not be started; on Debian it is in zbar-tools");
    let mut codes: Vec<String> = text(&output.stdout).lines().map(str::to_owned).collect();
    codes.sort();
    codes
}

#[test]
fn the_card_of_the_demo_prints_at_its_size_and_its_codes_lead_to_the_guide() {
    let dir = TempDir::new().unwrap();
    let pdf = dir.path().join("card.pdf");
    let size = string(card_table()["card"].as_table().unwrap(), "size");
    assert_is_card(&DEMO, &size, &pdf);
    let text = fs::read_to_string(guide().join("guide.toml")).unwrap();
    let base = text.split("base_address = \"").nth(1).unwrap().split('"').next().unwrap();
    let read = codes(&pdf);
    assert!(!read.is_empty());
    for address in read {
        let page = address.strip_prefix(base).expect("a code leads into the guide");
        assert!(page.is_empty() || DEMO.pages.contains_key(page), "{address}");
    }
}

/// A card of the small guide with every topic and `rounds` paragraphs on its back.
fn card(size: &str, rounds: usize) -> String {
    let mut card = format!(
        "[card]\ntitle = \"Lifting table, card for the lid\"\nsize = \"{size}\"\n\n\
         [[block]]\ntopic = \"limits\"\nreadings = [\"oil-level\"]\n\n[[block]]\ntopic = \"fuses\"\n\n\
         [[block]]\ntopic = \"fluids\"\n\n[[block]]\ntopic = \"torque\"\n\n[[block]]\ntopic = \"hoses\"\n\n\
         [[block]]\ntopic = \"recalibration\"\n\n[[block]]\ntopic = \"depot\"\nside = 2\n\n\
         [[block]]\ntopic = \"code\"\nside = 2\nreadings = [\"oil-level\"]\n\n\
         [[block]]\ntopic = \"text\"\ntitle = \"Rounds\"\nside = 2\nsays = \"\"\"\nEvery day.\n\n"
    );
    for number in 1..=rounds {
        let more = "and write down what you saw ".repeat(number % 4);
        card.push_str(&format!(
            "**Point {number}:** look at the oil (40 mm / 1.6 in) before each lift {more}— signed.\n\n"
        ));
    }
    card + "\"\"\"\n"
}

fn laid(dir: &Path, size: &str, rounds: usize) -> (PathBuf, PathBuf) {
    let base = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/rules/base");
    let (to, out) = (dir.join(format!("{size}-{rounds}")), dir.join(format!("{size}-{rounds}-out")));
    copy_guide(&base, &to, false, |path, text| match path {
        "card.toml" => card(size, rounds),
        "guide.toml" => {
            text.replacen("units = \"si\"", "units = \"si\"\nbase_address = \"https://table.example/guide/\"", 1)
        }
        _ => text,
    });
    (to, out)
}

/// As many rounds as the compiler takes: one more, and it says that the card overflows.
fn fullest(dir: &Path, size: &str) -> (usize, PathBuf) {
    let fits = |rounds: usize| {
        let (guide, out) = laid(dir, size, rounds);
        let output = compile(&guide, &out).output().unwrap();
        let said = text(&output.stdout);
        assert!(output.status.success() != said.contains("card-overflows"), "{size}, {rounds}: {said}");
        output.status.success().then_some(out)
    };
    let (mut good, mut bad) = ((0, fits(0).expect("the topics alone fit")), 64);
    while bad - good.0 > 1 {
        let middle = usize::midpoint(good.0, bad);
        match fits(middle) {
            Some(out) => good = (middle, out),
            None => bad = middle,
        }
    }
    good
}

/// On the fullest card that is taken, nothing is cut off, and the room left over is less than the next paragraph and
/// the measure's own reserve need.
#[test]
fn the_fullest_card_of_every_size_prints_whole_and_little_room_is_wasted() {
    const MOST_LEFT: f64 = 16.0;
    let dir = TempDir::new().unwrap();
    for (size, ..) in CARDS {
        let (rounds, out) = fullest(dir.path(), size);
        let pdf = out.parent().unwrap().join(format!("{size}.d")).join("card.pdf");
        fs::create_dir_all(pdf.parent().unwrap()).unwrap();
        let paper = assert_is_card(&Site::read(out), size, &pdf);
        assert_eq!(codes(&pdf), ["https://table.example/guide/readings/oil-level.html"], "{size}");
        let sheet = paper.pages.last().unwrap();
        let bottoms = |says: &str| -> Vec<f64> {
            let words = sheet.words.iter().filter(|word| word.says.starts_with(says));
            words.map(|word| word.bottom).collect()
        };
        let signed = bottoms("signed").into_iter().fold(0.0, f64::max);
        let foot = bottoms("Edition").into_iter().fold(f64::MAX, f64::min);
        let left = (foot - signed) / MILLIMETRE;
        eprintln!("{size}: {rounds} rounds, {left:.1} mm between the last line and the foot");
        assert!((0.0..MOST_LEFT).contains(&left), "{size}: {rounds} rounds, {left} mm left");
    }
}
