//! What goes to the customer and into the file: each job record and each quote on one sheet of either usual paper.

use std::{collections::BTreeMap, path::Path};

use serde_json::{Value, json};
use tempfile::TempDir;

use crate::site::{DEMO, assert_none};

use super::card::{assert_type_is_large, poppler};
use super::paper::{Paper, letters, pdf, read};
use super::{Browser, Outcome, browse};

/// Width and height in inches: A4 after ISO 216, US Letter after ANSI/ASME Y14.1 (both from memory).
const PAPERS: [(&str, f64, f64); 2] = [("A4", 8.27, 11.69), ("Letter", 8.5, 11.0)];

/// Walks as long as it goes: a value typed wherever there is a field, checks answered where an answer leaves most of the
/// causes and left out where none does, and no repair cures. Keeps the record, and gives back how many lines it has.
const WALK: &str = "
    const done = arguments[0], walk = document.getElementById('walk'), data = Bayleaf.walks[walk.dataset.fault], one = selector => document.querySelector('#walk ' + selector);
    const type = (field, value) => { field.value = value; field.dispatchEvent(new Event('input', { bubbles: true })); };
    let left = 99;
    // The value typed everywhere agrees with no answer.
    window.confirm = () => true;
    (function step() {
        if (walk.getAttribute('aria-busy') === 'true') return setTimeout(step, 5);
        if (one('#record-keep') || !left--) return keep();
        const simple = one('#walk-yes') || one('#walk-not-cured');
        if (simple) { simple.click(); return step(); }
        const asks = one('#walk-h').textContent, check = data.checks.find(check => document.querySelector('[data-check=\"' + check.id + '\"] :is(h2, h3)').textContent.trim() === asks);
        if (one('#walk-reading input')) type(one('#walk-reading input'), '12.5');
        const causes = check.answers.map(answer => (answer.leaves || []).length), most = Math.max(...causes);
        (most * 3 > data.causes.length * 2 ? one('[data-answer=\"' + causes.indexOf(most) + '\"]') : one('#walk-skip')).click();
        step();
    })();
    function keep() {
        const lines = document.querySelectorAll('#walk .answered li').length;
        type(one('#record-serial'), 'DB-0031');
        type(one('#record-name'), 'Q. Marsh, bay 4, second shift');
        one('#record-keep').click();
        done(lines);
    }";

/// Presses the button that prints a kept record, and lets the page stay as it is while it prints.
const PRESS: &str = "
    window.print = () => {};
    document.querySelectorAll('.kept')[arguments[0]].querySelector('button').click();
    window.onafterprint = null;
    return [...document.querySelectorAll('#one-sheet :is(h3, dt, dd, li)')].map(part => part.textContent);";

/// The page that is open, printed on both papers; each must be one sheet with everything on it.
async fn print_on_each(browser: &Browser, what: &str, texts: &[String], dir: &Path) -> Outcome<Vec<String>> {
    let mut wrong = Vec::new();
    for (name, width, height) in PAPERS {
        let file = dir.join("printed.pdf");
        std::fs::write(&file, pdf(browser, width, height).await?).unwrap();
        let said = poppler("pdfinfo", &[], &file);
        let paper = read(&file);
        let here = one_sheet(&paper, &said, (width, height), texts);
        wrong.extend(here.into_iter().map(|it| format!("{what} on {name}: {it}")));
        assert_type_is_large(&file);
    }
    Ok(wrong)
}

fn one_sheet(paper: &Paper, said: &str, (width, height): (f64, f64), texts: &[String]) -> Vec<String> {
    let pages = said.lines().find_map(|line| line.strip_prefix("Pages:")).map(str::trim);
    let mut wrong = Vec::new();
    wrong.extend((pages != Some("1") || paper.pages.len() != 1).then(|| format!("{pages:?} sheets")));
    for sheet in &paper.pages {
        let fits = (sheet.width / 72.0 - width).abs() < 0.05 && (sheet.height / 72.0 - height).abs() < 0.05;
        wrong.extend((!fits).then(|| format!("{} by {} points", sheet.width, sheet.height)));
        wrong.extend(sheet.outside(4.0));
    }
    let printed: String = paper.pages.iter().map(super::paper::Sheet::letters).collect();
    // Word by word, each as often as it is there: lines of cells that stand beside each other are read across.
    let mut times: BTreeMap<String, usize> = BTreeMap::new();
    for word in texts.iter().flat_map(|text| text.split(|letter: char| !letter.is_alphanumeric())) {
        *times.entry(letters(word)).or_default() += 1;
    }
    let lost = times.into_iter().filter(|(word, times)| printed.matches(word.as_str()).count() < *times);
    wrong.extend(lost.map(|(word, times)| format!("lacks {word:?}, which is there {times} times")));
    wrong
}

fn strings(value: &Value) -> Vec<String> {
    value.as_array().into_iter().flatten().filter_map(Value::as_str).map(str::to_owned).collect()
}

#[test]
fn the_longest_job_record_of_every_fault_prints_on_one_sheet() {
    let dir = TempDir::new().unwrap();
    let wrong = browse(async |browser| {
        let (mut wrong, mut longest) = (Vec::new(), 0);
        let faults: Vec<&String> = DEMO.pages.keys().filter(|page| page.starts_with("faults/")).collect();
        for fault in &faults {
            browser.open(fault).await?;
            browser.client.wait().for_element(fantoccini::Locator::Css("#walk-h")).await?;
            let lines = browser.client.execute_async(WALK, Vec::new()).await?;
            longest = longest.max(lines.as_u64().unwrap());
        }
        assert!(longest > 8, "the longest walk has {longest} lines");
        for number in 0..faults.len() {
            browser.open("records.html").await?;
            browser.client.wait().for_element(fantoccini::Locator::Css(".kept")).await?;
            let texts = strings(&browser.run(PRESS, vec![json!(number)]).await?);
            assert!(texts.len() > 12, "{texts:?}");
            wrong.extend(print_on_each(browser, &texts[0], &texts, dir.path()).await?);
        }
        eprintln!("{} records, the longest with {longest} lines", faults.len());
        Ok(wrong)
    });
    assert_none("records that are not one sheet", &wrong);
}

#[test]
fn every_quote_with_its_costs_prints_on_one_sheet() {
    let dir = TempDir::new().unwrap();
    let type_rate = "const type = (id, value) => { document.getElementById(id).value = value; document.getElementById(id).dispatchEvent(new Event('input', { bubbles: true })); };
        type('currency', 'EUR'); type('rate', '90,50');
        return [...document.querySelectorAll('main :is(h1, h2, td, dt)')].filter(part => part.checkVisibility()).map(part => part.textContent);";
    let wrong = browse(async |browser| {
        let mut wrong = Vec::new();
        for quote in DEMO.pages.keys().filter(|page| page.starts_with("quotes/")) {
            browser.open(quote).await?;
            let texts = strings(&browser.run(type_rate, Vec::new()).await?);
            assert!(texts.iter().any(|text| text.contains("EUR")), "{quote} shows no costs");
            wrong.extend(print_on_each(browser, quote, &texts, dir.path()).await?);
        }
        Ok(wrong)
    });
    assert_none("quotes that are not one sheet", &wrong);
}
