//! The guide in one file as a phone opens it: from the disk, one page at a time, with and without script.

use fantoccini::{Locator, key::Key};
use serde_json::{Value, json};
use tempfile::TempDir;

use crate::site::content::{card_table, string};
use crate::site::one_file::ONE;
use crate::site::{DEMO, records::inspected};

use super::card::CARDS;
use super::layout::STICKS_OUT;
use super::paper::{Sheet, letters, pdf, print_to, read};
use super::walking::{click, to_a_repair};
use super::{Browser, Outcome, Story, address, engine::Engine, story};

pub const STORIES: &[Story] = &[
    story!(one_file_shows_one_page_and_the_way_back_works),
    story!(one_file_leads_to_places_and_takes_what_scripts_link),
    story!(one_file_finds_walks_and_keeps_the_record),
    story!(one_file_prints_the_card),
    story!(one_file_fits_a_narrow_screen),
    story!(one_file_is_read_without_script),
];

const FAULT: &str = "faults/canopy-slow.html";

/// The file as this engine opens it.
fn here(browser: &Browser, fragment: &str) -> String {
    let folder = if browser.watched() { browser.folder() } else { ONE.0.parent().unwrap().to_owned() };
    address(&folder, ONE.0.file_name().unwrap().to_str().unwrap()) + fragment
}

/// Opens the file at a fragment, as if it had just been taken from the downloads: another page stood there before.
async fn open(browser: &Browser, fragment: &str) -> Outcome<()> {
    browser.open("about.html").await?;
    browser.go_to(&here(browser, fragment)).await
}

/// Complaints; pictures that stand in the file as data are nothing asked for.
async fn complaints(browser: &Browser) -> Outcome<Vec<String>> {
    let mut found = browser.complaints().await?;
    found.retain(|complaint| !complaint.starts_with("asked for data:"));
    Ok(found)
}

/// Waits until a page shows, alone, under its own name, with its own address; tells what shows otherwise.
async fn shows(browser: &Browser, page: &str, fragment: &str) -> Outcome<Vec<String>> {
    const STATE: &str = "const heads = [...document.querySelectorAll('h1')].filter(e => e.checkVisibility());
        return [heads.length, document.body.dataset.page || '', location.hash, document.title, heads.length && heads[0].textContent];";
    let title = DEMO.pages[page].title();
    let is = |state: &Value| {
        let text = |at: usize| state[at].as_str().unwrap_or_default();
        state[0] == 1 && text(1) == page && text(2) == fragment && text(3).starts_with(title) && text(4).contains(title)
    };
    let mut state = Value::Null;
    let came = browser.until(async |browser| {
        state = browser.run(STATE, Vec::new()).await?;
        Ok(is(&state))
    });
    Ok(if came.await? { Vec::new() } else { vec![format!("{page} {fragment} does not show: {state}")] })
}

async fn one_file_shows_one_page_and_the_way_back_works(browser: &mut Browser) -> Outcome<Vec<String>> {
    let (fragment, link) = ("#faults/canopy-slow", "document.querySelector('main a[href=\"#faults/canopy-slow\"]')");
    open(browser, "").await?;
    let mut wrong = shows(browser, "index.html", "").await?;
    browser.run(&format!("{link}.click()"), Vec::new()).await?;
    wrong.extend(shows(browser, FAULT, fragment).await?);
    // By the page's own history: WebKit's button passes over places that were reached without a hand, as here.
    browser.run("history.back()", Vec::new()).await?;
    wrong.extend(shows(browser, "index.html", "").await?);
    browser.run("history.forward()", Vec::new()).await?;
    wrong.extend(shows(browser, FAULT, fragment).await?);
    wrong.extend(complaints(browser).await?);
    open(browser, fragment).await?;
    wrong.extend(shows(browser, FAULT, fragment).await?);
    wrong.extend(complaints(browser).await?);
    if browser.watched() {
        browser.run("dispatchEvent(new ErrorEvent('error', { message: 'planted' }))", Vec::new()).await?;
        let heard = complaints(browser).await?;
        wrong.extend((heard != ["console: planted"]).then(|| format!("of one planted error, {heard:?} is heard")));
    }
    Ok(wrong)
}

async fn one_file_leads_to_places_and_takes_what_scripts_link(browser: &mut Browser) -> Outcome<Vec<String>> {
    open(browser, "#faults/canopy-slow").await?;
    let mut wrong = shows(browser, FAULT, "#faults/canopy-slow").await?;
    let inside = "const shows = e => e && e.checkVisibility(); const links = [...document.querySelectorAll('main a[href^=\"#\"]')];
        const link = links.find(e => shows(e) && shows(document.getElementById(e.hash.slice(1)))); link.click();
        return link.getAttribute('href').slice(1);";
    let id = browser.text(inside).await?;
    wrong.extend(shows(browser, FAULT, &format!("#faults/canopy-slow:{id}")).await?);
    let seen = "const box = document.getElementById(arguments[0]).getBoundingClientRect(); return box.top < innerHeight && box.bottom > 0;";
    let seen = browser.until(async |browser| Ok(browser.run(seen, vec![json!(id)]).await? == json!(true))).await?;
    wrong.extend((!seen).then(|| format!("{id} is not in view")));
    // Every page of the file opens from the list of all pages.
    open(browser, "#a-z").await?;
    wrong.extend(shows(browser, "a-z.html", "#a-z").await?);
    for page in ["parts/", "procedures/", "readings/", "hoses/", "quotes/"] {
        let Some(page) = DEMO.pages.keys().find(|path| path.starts_with(page)) else { continue };
        let script = "const link = document.createElement('a'); link.href = '../' + arguments[0];
            document.querySelector('main').appendChild(link); link.click();";
        browser.run(script, vec![json!(page)]).await?;
        wrong.extend(shows(browser, page, &format!("#{}", page.trim_end_matches(".html"))).await?);
    }
    wrong.extend(complaints(browser).await?);
    Ok(wrong)
}

async fn one_file_finds_walks_and_keeps_the_record(browser: &mut Browser) -> Outcome<Vec<String>> {
    open(browser, "#parts/battery").await?;
    let mut wrong = shows(browser, "parts/battery.html", "#parts/battery").await?;
    let field = browser.client.find(Locator::Css("form[data-search] #q")).await?;
    field.send_keys(DEMO.pages[FAULT].title()).await?;
    let result = Locator::Css("form[data-search] [data-search-results][aria-busy=false] a");
    browser.client.wait().for_element(result).await?;
    field.send_keys(&char::from(Key::Enter).to_string()).await?;
    wrong.extend(shows(browser, FAULT, "#faults/canopy-slow").await?);
    let typed = browser.text("return document.getElementById('q').value").await?;
    wrong.extend((!typed.is_empty()).then(|| format!("{typed:?} still stands in the field of the next page")));
    click(browser, "#walk-yes").await?;
    wrong.extend(to_a_repair(browser).await?);
    // Loaded again, it stands at the same place.
    let heading = "return document.getElementById('walk-h').textContent";
    let before = browser.text(heading).await?;
    open(browser, "#faults/canopy-slow").await?;
    browser.client.wait().for_element(Locator::Css("#walk-h")).await?;
    let after = browser.text(heading).await?;
    wrong.extend((before != after).then(|| format!("at {before:?}, loaded again at {after:?}")));
    let repair = browser.text("return document.querySelector('#walk a.go').getAttribute('href')").await?;
    click(browser, "#walk a.go").await?;
    let page = repair.trim_start_matches(['.', '/', '#']).trim_end_matches(".html").to_owned();
    wrong.extend(shows(browser, &format!("{page}.html"), &format!("#{page}")).await?);
    browser.client.back().await?;
    wrong.extend(shows(browser, FAULT, "#faults/canopy-slow").await?);
    click(browser, "#walk-cured").await?;
    click(browser, "#record-keep").await?;
    let kept = "return (document.querySelector('[data-csv]') || {}).value || ''";
    browser.client.wait().for_element(Locator::Css("[data-csv]")).await?;
    let table = browser.text(kept).await?;
    let (fit, said) = inspected(&table);
    wrong.extend((!fit || said.contains("walked.csv")).then(|| format!("the record is not accepted: {said}")));
    wrong.extend(complaints(browser).await?);
    open(browser, "#records").await?;
    wrong.extend(shows(browser, "records.html", "#records").await?);
    let again = browser.text(kept).await?;
    wrong.extend((again != table || table.is_empty()).then(|| format!("{table:?} was kept, {again:?} is there")));
    wrong.extend(complaints(browser).await?);
    Ok(wrong)
}

/// Chromium alone prints as its style asks: Firefox's driver lays the card on two sheets, WebKit's knows no printing. There
/// the page is only looked at.
async fn one_file_prints_the_card(browser: &mut Browser) -> Outcome<Vec<String>> {
    open(browser, "#card").await?;
    let mut wrong = shows(browser, "card.html", "#card").await?;
    let dir = TempDir::new().unwrap();
    let file = dir.path().join("printed.pdf");
    let texts = "return [...document.querySelectorAll('.face :is(h2, h3, p, li, dt, dd)')].map(e => e.textContent)";
    let texts = browser.run(texts, Vec::new()).await?;
    let texts: Vec<&str> = texts.as_array().unwrap().iter().filter_map(Value::as_str).collect();
    wrong.extend((texts.len() < 20).then(|| format!("a card of {} texts", texts.len())));
    if browser.engine != Engine::Chromium {
        wrong.extend(complaints(browser).await?);
        return Ok(wrong);
    }
    let size = string(card_table()["card"].as_table().unwrap(), "size");
    let (_, width, height, sheets, _) =
        *CARDS.iter().find(|(name, ..)| *name == size).expect("the test knows the demo's size of card");
    std::fs::write(&file, pdf(browser, width / 25.4, height / 25.4).await?).unwrap();
    let paper = read(&file);
    let printed: String = paper.pages.iter().map(Sheet::letters).collect();
    let lost = texts.iter().filter(|text| !printed.contains(&letters(text)));
    wrong.extend(lost.map(|text| format!("the printed card lacks {text:?}")));
    wrong.extend((paper.pages.len() != sheets).then(|| format!("the card takes {} sheets", paper.pages.len())));
    wrong.extend(complaints(browser).await?);
    Ok(wrong)
}

async fn one_file_fits_a_narrow_screen(browser: &mut Browser) -> Outcome<Vec<String>> {
    let mut wrong = Vec::new();
    browser.set_width(320).await?;
    for page in super::layout::one_of_each_kind() {
        let fragment = format!("#{}", page.trim_end_matches(".html"));
        open(browser, &fragment).await?;
        wrong.extend(shows(browser, page, &fragment).await?);
        let wide = browser.text(STICKS_OUT).await?;
        wrong.extend((!wide.is_empty()).then(|| format!("{page}: {wide}")));
        wrong.extend(complaints(browser).await?.into_iter().map(|what| format!("{page}: {what}")));
    }
    Ok(wrong)
}

async fn one_file_is_read_without_script(browser: &mut Browser) -> Outcome<Vec<String>> {
    browser.set_script(false).await?;
    browser.set_width(320).await?;
    browser.go_to(&here(browser, "#faults/canopy-slow")).await?;
    let heads = "return [...document.querySelectorAll('h1')].filter(e => e.checkVisibility()).length";
    let heads = browser.run(heads, Vec::new()).await?;
    let mut wrong = Vec::new();
    wrong.extend((heads != DEMO.pages.len()).then(|| format!("{heads} of {} pages show", DEMO.pages.len())));
    let seen = "const box = document.getElementById(arguments[0]).getBoundingClientRect(); return box.top < innerHeight && box.bottom > 0;";
    // The first answer of the linked walk leads to its step, and a link to another page to that page.
    let links = "const from = document.getElementById('faults/canopy-slow');
        return ['a.answer', 'a[href^=\"#procedures/\"]'].map(selector => from.querySelector(selector).getAttribute('href').slice(1));";
    let links = browser.run(links, Vec::new()).await?;
    for id in links.as_array().unwrap() {
        browser.client.goto(&here(browser, &format!("#{}", id.as_str().unwrap()))).await?;
        let seen = browser.until(async |browser| Ok(browser.run(seen, vec![id.clone()]).await? == json!(true))).await?;
        wrong.extend((!seen).then(|| format!("{id} is not in view")));
    }
    let wide = browser.text(STICKS_OUT).await?;
    wrong.extend((!wide.is_empty()).then_some(wide));
    Ok(wrong)
}

#[test]
fn printing_gives_the_page_that_shows() {
    let dir = TempDir::new().unwrap();
    let file = dir.path().join("printed.pdf");
    let name = ONE.0.file_name().unwrap().to_str().unwrap();
    let paper = print_to(ONE.0.parent().unwrap(), &format!("{name}#procedures/replace-canopy-pump"), &file);
    let printed: String = paper.pages.iter().map(Sheet::letters).collect();
    let title = |page: &str| letters(DEMO.pages[page].title());
    assert!(printed.contains(&title("procedures/replace-canopy-pump.html")));
    assert!(paper.pages.len() < 12, "{} sheets", paper.pages.len());
}
