//! What comes out of the printer: the pocket card at its declared size, a fault and a procedure on ordinary paper.

use std::{
    io::Write,
    path::Path,
    process::{Command, Stdio},
};

use serde_json::json;
use tempfile::TempDir;

use crate::publish::text;
use crate::site::content::{card_table, string};
use crate::site::page::Page;
use crate::site::{DEMO, Site, assert_none, compile, copy_guide};

use super::{address, browse};

/// Points of 1/72 inch in a millimetre.
const MILLIMETRE: f64 = 72.0 / 25.4;

/// Width and height in millimetres of the cards that a guide may declare: A6 after ISO 216 (from memory), 3 by 5
/// inches, and A4 on its side (both faces on one page, to be folded).
const CARDS: [(&str, f64, f64, usize); 3] =
    [("a6", 105.0, 148.0, 2), ("3x5", 76.2, 127.0, 2), ("folded-a4", 297.0, 210.0, 1)];

struct Paper {
    pages: Vec<Sheet>,
}

struct Sheet {
    width: f64,
    height: f64,
    words: Vec<Word>,
}

struct Word {
    says: String,
    left: f64,
    top: f64,
    right: f64,
    bottom: f64,
}

/// Prints a page as the reader would, with the paper that its style asks for.
fn print(site: &Site, page: &str, style: &str) -> Paper {
    let dir = TempDir::new().unwrap();
    let pdf = browse(async |browser| {
        browser.client.goto(&address(&site.folder, page)).await?;
        let add = "const sheet = new CSSStyleSheet(); sheet.replaceSync(arguments[0]); \
                   document.adoptedStyleSheets = [sheet];";
        browser.client.execute(add, vec![json!(style)]).await?;
        let parameters = json!({ "preferCSSPageSize": true, "paperWidth": 8.27, "paperHeight": 11.69 });
        browser.own("Page.printToPDF", parameters).await
    });
    let file = dir.path().join("printed.pdf");
    std::fs::write(&file, decoded(pdf["data"].as_str().unwrap())).unwrap();
    read(&file)
}

fn decoded(base64: &str) -> Vec<u8> {
    let mut command = Command::new("base64");
    let mut process = command.arg("-d").stdin(Stdio::piped()).stdout(Stdio::piped()).spawn().unwrap();
    let mut input = process.stdin.take().unwrap();
    let base64 = base64.to_owned();
    let writer = std::thread::spawn(move || input.write_all(base64.as_bytes()).unwrap());
    let output = process.wait_with_output().unwrap();
    writer.join().unwrap();
    output.stdout
}

/// Reads a PDF with pdftotext of Poppler, which tells where each word stands.
fn read(pdf: &Path) -> Paper {
    let output = Command::new("pdftotext").arg("-bbox").arg(pdf).arg("-").output();
    let output = output.expect("pdftotext could not be started; on Debian it is in poppler-utils");
    assert!(output.status.success(), "{}", text(&output.stderr));
    let html = Page::parse("printed", &text(&output.stdout));
    let number = |at: usize, name: &str| html.elements[at].attribute(name).unwrap().parse::<f64>().unwrap();
    let pages = html.all("page").map(|(at, _)| Sheet {
        width: number(at, "width"),
        height: number(at, "height"),
        words: html
            .inside(at)
            .filter(|(_, inside)| inside.tag == "word")
            .map(|(at, word)| Word {
                says: word.text.clone(),
                left: number(at, "xmin"),
                top: number(at, "ymin"),
                right: number(at, "xmax"),
                bottom: number(at, "ymax"),
            })
            .collect(),
    });
    Paper { pages: pages.collect() }
}

impl Sheet {
    /// Words that stand nearer to an edge than `margin` millimetres.
    fn outside(&self, margin: f64) -> Vec<String> {
        let margin = margin * MILLIMETRE;
        let out = self.words.iter().filter(|word| {
            word.left < margin
                || word.top < margin
                || word.right > self.width - margin
                || word.bottom > self.height - margin
        });
        out.map(|word| format!("\"{}\" at {}, {}", word.says, word.left.round(), word.top.round())).collect()
    }

    fn letters(&self) -> String {
        letters(&self.words.iter().map(|word| word.says.as_str()).collect::<String>())
    }
}

/// Letters and digits alone: line breaks and hyphens come and go.
fn letters(text: &str) -> String {
    text.chars().filter(|letter| letter.is_alphanumeric()).collect()
}

fn assert_is_card(site: &Site, size: &str, style: &str) {
    let paper = print(site, "card.html", style);
    let (_, width, height, sheets) = *CARDS.iter().find(|(name, ..)| *name == size).expect("a size with a page");
    assert_eq!(paper.pages.len(), sheets, "pages of {size}");
    let card = &site.pages["card.html"];
    let faces: Vec<_> = card.classed("face").map(|(at, _)| at).collect();
    assert_eq!(faces.len(), 2);
    for sheet in &paper.pages {
        let near = |is: f64, should: f64| (is / MILLIMETRE - should).abs() < 0.5;
        assert!(near(sheet.width, width) && near(sheet.height, height), "{} by {} points", sheet.width, sheet.height);
        assert_none("words at the edge", &sheet.outside(3.0));
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
}

fn declared_size() -> String {
    string(card_table()["card"].as_table().unwrap(), "size")
}

#[test]
fn the_card_prints_at_its_size_with_nothing_cut_off() {
    assert_is_card(&DEMO, &declared_size(), "");
}

/// Not every device has the faces that the style asks for first; DejaVu Sans is a wide one that is common on Linux.
#[test]
fn the_card_fits_in_a_wider_face_too() {
    assert_is_card(&DEMO, &declared_size(), "body, h1, h2, h3 { font-family: 'DejaVu Sans' !important }");
}

#[test]
fn a_card_of_any_size_has_its_sheets() {
    let dir = TempDir::new().unwrap();
    for (size, ..) in CARDS {
        let (guide, out) = (dir.path().join(size), dir.path().join(format!("{size}-out")));
        let base = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/rules/base");
        copy_guide(&base, &guide, false, |path, text| match path {
            "card.toml" => text.replace("size = \"a6\"", &format!("size = \"{size}\"")),
            _ => text,
        });
        let output = compile(&guide, &out).output().unwrap();
        assert!(output.status.success(), "{}", text(&output.stdout));
        assert_is_card(&Site::read(out), size, "");
    }
}

#[test]
fn faults_and_procedures_print_whole() {
    for page in ["faults/canopy-slow.html", "procedures/replace-canopy-pump.html"] {
        let paper = print(&DEMO, page, "");
        let mut found = Vec::new();
        for (number, sheet) in (1..).zip(&paper.pages) {
            assert!((sheet.width / MILLIMETRE - 210.0).abs() < 1.0, "{page} is {} points wide", sheet.width);
            found.extend(sheet.outside(10.0).into_iter().map(|word| format!("{page}, sheet {number}: {word}")));
        }
        assert_none("words at the edge", &found);
        let printed: String = paper.pages.iter().map(Sheet::letters).collect();
        let whole = &DEMO.pages[page];
        let texts = whole.elements.iter().filter(|element| matches!(element.tag.as_str(), "h1" | "h2" | "h3"));
        let lost: Vec<_> = texts.filter(|it| !printed.contains(&letters(&it.text))).map(|it| it.text.clone()).collect();
        // The second part of the foot is a way about the screen.
        assert_none(page, &lost.into_iter().filter(|text| text != "Other ways in").collect::<Vec<_>>());
    }
}
