//! The guide in one file as a phone opens it: from the disk, one page at a time, with and without script.

use std::path::Path;

use fantoccini::Locator;
use serde_json::{Value, json};
use tempfile::TempDir;

use crate::site::one_file::ONE;
use crate::site::{DEMO, assert_none};

use super::paper::{letters, print_to};
use super::{Browser, address, browse};

fn here(fragment: &str) -> String {
    let (folder, name) = (ONE.0.parent().unwrap(), ONE.0.file_name().unwrap().to_str().unwrap());
    address(folder, name) + fragment
}

/// Complaints; pictures that stand in the file as data are nothing asked for.
async fn complaints(browser: &Browser) -> Result<Vec<String>, fantoccini::error::CmdError> {
    let mut found = browser.complaints().await?;
    found.retain(|complaint| !complaint.starts_with("asked for data:"));
    Ok(found)
}

/// The one heading that shows, the window's title, what the title block says, and the address's fragment.
const STATE: &str = "
    const heads = [...document.querySelectorAll('h1')].filter(e => e.offsetParent !== null);
    return [heads.length, heads[0] && heads[0].textContent, document.title, document.body.dataset.page, location.hash];";

async fn state(browser: &Browser) -> Result<Vec<Value>, fantoccini::error::CmdError> {
    // The next page is up when the tasks at hand are done.
    let wait = "const done = arguments[0]; setTimeout(() => requestAnimationFrame(() => done()), 50);";
    browser.client.execute_async(wait, Vec::new()).await?;
    Ok(browser.client.execute(STATE, Vec::new()).await?.as_array().unwrap().clone())
}

#[test]
fn one_page_shows_at_a_time_and_the_way_back_works() {
    let page = "faults/canopy-slow.html";
    let heading = DEMO.pages[page].title().to_owned();
    let complaints = browse(async |browser| {
        browser.client.goto(&here("")).await?;
        let front = state(browser).await?;
        assert_eq!((&front[0], &front[3]), (&json!(1), &json!("index.html")));
        browser
            .client
            .execute("document.querySelector('main a[href=\"#faults/canopy-slow\"]').click()", Vec::new())
            .await?;
        let fault = state(browser).await?;
        assert_eq!(fault[0], json!(1));
        assert!(fault[1].as_str().unwrap().contains(&heading), "{fault:?}");
        assert!(fault[2].as_str().unwrap().starts_with(&heading), "{fault:?}");
        assert_eq!((&fault[3], &fault[4]), (&json!(page), &json!("#faults/canopy-slow")));
        browser.client.back().await?;
        assert_eq!(state(browser).await?, front);
        browser.client.forward().await?;
        assert_eq!(state(browser).await?, fault);
        browser.client.goto("about:blank").await?;
        browser.client.goto(&here("#faults/canopy-slow")).await?;
        assert_eq!(state(browser).await?, fault, "a kept address opens its page");
        complaints(browser).await
    });
    assert_none("complaints", &complaints);
}

/// A link inside a page leads to its place, and an answer of the walk leads on.
#[test]
fn the_links_of_a_walk_lead_on() {
    let complaints = browse(async |browser| {
        browser.client.goto(&here("#faults/canopy-slow")).await?;
        state(browser).await?;
        let answer = "const shows = e => e && e.offsetParent; const links = [...document.querySelectorAll('main a[href^=\"#\"]')]; \
                      const link = links.find(e => shows(e) && shows(document.getElementById(e.hash.slice(1)))); link.click(); \
                      return link.getAttribute('href');";
        let to = browser.client.execute(answer, Vec::new()).await?;
        let after = state(browser).await?;
        let id = to.as_str().unwrap().trim_start_matches('#');
        assert_eq!(after[4], json!(format!("#faults/canopy-slow:{id}")));
        assert_eq!(after[3], json!("faults/canopy-slow.html"));
        let seen = "const box = document.getElementById(arguments[0]).getBoundingClientRect(); return box.top < innerHeight && box.bottom > 0;";
        assert_eq!(browser.client.execute(seen, vec![json!(id)]).await?, json!(true), "{id} is in view");
        let press = "const panel = document.querySelector('.walk-panel'), before = panel.textContent; \
                     [...panel.querySelectorAll('button')].find(e => e.offsetParent).click(); return before !== panel.textContent;";
        assert_eq!(browser.client.execute(press, Vec::new()).await?, json!(true), "the walk goes on");
        complaints(browser).await
    });
    assert_none("complaints", &complaints);
}

#[test]
fn search_finds_a_page_and_opens_it() {
    let title = DEMO.pages["faults/canopy-slow.html"].title().to_owned();
    let (opened, field, complaints) = browse(async |browser| {
        browser.client.goto(&here("#parts/battery")).await?;
        let field = browser.client.find(Locator::Css("form[data-search] #q")).await?;
        field.send_keys(&title).await?;
        let result = Locator::Css("form[data-search] [data-search-results] a");
        browser.client.wait().for_element(result).await?;
        field.send_keys("\u{e007}").await?;
        let opened = state(browser).await?;
        let field = browser.client.execute("return document.getElementById('q').value", Vec::new()).await?;
        Ok((opened, field, complaints(browser).await?))
    });
    assert_eq!(opened[3], json!("faults/canopy-slow.html"));
    assert_eq!(field, json!(""));
    assert_none("complaints", &complaints);
}

#[test]
fn without_script_every_page_shows_and_links_find_their_place() {
    let shown = browse(async |browser| {
        browser.set_script(false).await?;
        browser.client.goto(&here("#faults/canopy-slow")).await?;
        let heads = "return [...document.querySelectorAll('h1')].filter(e => e.offsetParent !== null).length";
        browser.client.execute(heads, Vec::new()).await
    });
    assert_eq!(shown, json!(DEMO.pages.len()));
}

#[test]
fn printing_gives_the_page_that_shows() {
    let dir = TempDir::new().unwrap();
    let pdf = dir.path().join("printed.pdf");
    let name = ONE.0.file_name().unwrap().to_str().unwrap();
    let folder: &Path = ONE.0.parent().unwrap();
    let paper = print_to(folder, &format!("{name}#procedures/replace-canopy-pump"), &pdf);
    let printed: String = paper.pages.iter().map(super::paper::Sheet::letters).collect();
    let title = |page: &str| letters(DEMO.pages[page].title());
    assert!(printed.contains(&title("procedures/replace-canopy-pump.html")));
    assert!(paper.pages.len() < 12, "{} sheets", paper.pages.len());
}
