//! What comes out of the printer: how a page is printed and read back, and a fault and a procedure on ordinary paper.

use std::{
    io::Write,
    path::Path,
    process::{Command, Stdio},
};

use serde_json::json;
use tempfile::TempDir;

use crate::publish::text;
use crate::site::content::{guide_table, string};
use crate::site::page::Page;
use crate::site::{DEMO, Site, assert_none};

use super::{Browser, Outcome, address, browse};

/// Points of 1/72 inch in a millimetre.
pub(super) const MILLIMETRE: f64 = 72.0 / 25.4;

pub(super) struct Paper {
    pub(super) pages: Vec<Sheet>,
}

pub(super) struct Sheet {
    pub(super) width: f64,
    pub(super) height: f64,
    pub(super) words: Vec<Word>,
}

pub(super) struct Word {
    pub(super) says: String,
    left: f64,
    top: f64,
    right: f64,
    pub(super) bottom: f64,
}

/// Prints a page as the reader would, with the paper that its style asks for.
fn print(site: &Site, page: &str) -> Paper {
    let dir = TempDir::new().unwrap();
    let file = dir.path().join("printed.pdf");
    print_to(&site.folder, page, &file)
}

/// The same, leaving the PDF in a file.
pub(super) fn print_to(folder: &Path, page: &str, file: &Path) -> Paper {
    let printed = browse(async |browser| {
        let (file, fragment) = page.split_once('#').unwrap_or((page, ""));
        let at = address(folder, file) + if fragment.is_empty() { "" } else { "#" } + fragment;
        browser.go_to(&at).await?;
        pdf(browser, 8.27, 11.69).await
    });
    std::fs::write(file, printed).unwrap();
    read(file)
}

/// The page that is open as a PDF, on paper of a size in inches unless its style asks for another.
pub(super) async fn pdf(browser: &Browser, width: f64, height: f64) -> Outcome<Vec<u8>> {
    browser.client.execute_async("document.fonts.ready.then(arguments[0])", Vec::new()).await?;
    let parameters = json!({ "preferCSSPageSize": true, "paperWidth": width, "paperHeight": height });
    let printed = browser.own("Page.printToPDF", parameters).await?;
    Ok(decoded(printed["data"].as_str().unwrap()))
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
pub(super) fn read(pdf: &Path) -> Paper {
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
    pub(super) fn outside(&self, margin: f64) -> Vec<String> {
        let margin = margin * MILLIMETRE;
        let out = self.words.iter().filter(|word| {
            word.left < margin
                || word.top < margin
                || word.right > self.width - margin
                || word.bottom > self.height - margin
        });
        out.map(|word| format!("\"{}\" at {}, {}", word.says, word.left.round(), word.top.round())).collect()
    }

    pub(super) fn letters(&self) -> String {
        letters(&self.words.iter().map(|word| word.says.as_str()).collect::<String>())
    }
}

/// Letters and digits alone: line breaks and hyphens come and go.
pub(super) fn letters(text: &str) -> String {
    text.chars().filter(|letter| letter.is_alphanumeric()).collect()
}

#[test]
fn faults_and_procedures_print_whole() {
    for page in ["faults/canopy-slow.html", "procedures/replace-canopy-pump.html"] {
        let paper = print(&DEMO, page);
        let mut found = Vec::new();
        for (number, sheet) in (1..).zip(&paper.pages) {
            assert!((sheet.width / MILLIMETRE - 210.0).abs() < 1.0, "{page} is {} points wide", sheet.width);
            found.extend(sheet.outside(4.0).into_iter().map(|word| format!("{page}, sheet {number}: {word}")));
        }
        assert_none("words at the edge", &found);
        let front = guide_table();
        let head = front["guide"].as_table().unwrap();
        let running = letters(&format!("Edition {} {}", string(head, "edition"), head["date"]));
        let silent = (1..).zip(&paper.pages).filter(|(_, sheet)| !sheet.letters().contains(&running));
        let silent: Vec<String> = silent.map(|(number, _)| format!("{page}, sheet {number}")).collect();
        assert_none("sheets without edition and date", &silent);
        let printed: String = paper.pages.iter().map(Sheet::letters).collect();
        let whole = &DEMO.pages[page];
        let texts = whole.elements.iter().filter(|element| matches!(element.tag.as_str(), "h1" | "h2" | "h3"));
        let lost: Vec<_> = texts.filter(|it| !printed.contains(&letters(&it.text))).map(|it| it.text.clone()).collect();
        // The second part of the foot is a way about the screen.
        assert_none(page, &lost.into_iter().filter(|text| text != "Other ways in").collect::<Vec<_>>());
    }
}

/// Rows that are folded on the screen: a paper cannot be pressed.
#[test]
fn crossed_hoses_print_unfolded() {
    for (path, page) in DEMO.pages.iter().filter(|(path, _)| path.starts_with("crossings/")) {
        let paper = print(&DEMO, path);
        let words = paper.pages.iter().flat_map(|sheet| &sheet.words);
        let printed = words.filter(|word| word.says == "Danger:").count();
        let (main, _) = page.all("main").next().unwrap();
        let told = page.elements[main].text.matches("Danger:").count();
        assert!(told > 50 && printed == told, "{path}: {printed} of {told} dangers are printed");
    }
}
