//! No page scrolls sideways, complains or asks the network, at three widths, with script and without.

use std::{collections::BTreeMap, fs};

use fantoccini::error::CmdError;
use tempfile::TempDir;

use crate::site::{DEMO, assert_none};

use super::{Browser, address, browse};

const WIDTHS: [u32; 3] = [320, 768, 1280];

/// What sticks out of the page, or nothing.
const STICKS_OUT: &str = "
    const root = document.documentElement;
    if (root.scrollWidth <= root.clientWidth) return '';
    const out = [...document.querySelectorAll('body *')].filter(e => e.getBoundingClientRect().right > root.clientWidth + 1);
    return root.scrollWidth + ' px wide: ' + out.slice(0, 3).map(e => e.outerHTML.slice(0, 120)).join(' ');";

/// Links and controls that a gloved finger misses: WCAG 2.2 asks for 24 px in both directions unless they stand in a
/// text (from memory); the guide wants 44 px.
const SMALL: &str = "
    const small = [...document.querySelectorAll('main a, main button, main input, form button, form input')].filter(e => {
        const box = e.getBoundingClientRect();
        const inText = e.closest('p, dd, td, th, li p, .prose, .step-text, .how, figcaption, caption');
        // In a drawing they repeat what the page offers in full size.
        const told = e.parentNode.localName === 'li' && [...e.parentNode.childNodes].some(other => other !== e && other.textContent.trim());
        return box.width > 0 && !inText && !told && !e.closest('svg') && (box.height < 43.5 || box.width < 24);
    });
    return small.slice(0, 3).map(e => e.outerHTML.slice(0, 120)).join(' ');";

/// The first page of each kind, and the heaviest.
fn one_of_each_kind() -> Vec<&'static str> {
    let mut kinds: BTreeMap<&str, Vec<&str>> = BTreeMap::new();
    for page in DEMO.pages.values() {
        let body = page.all("body").next().and_then(|(_, body)| body.attribute("class")).unwrap_or_default();
        kinds.entry(body).or_default().push(&page.path);
    }
    assert!(kinds.len() >= 16, "only {:?}", kinds.keys());
    let heaviest = |pages: &Vec<&'static str>| *pages.iter().max_by_key(|page| DEMO.pages[**page].bytes).unwrap();
    let mut found: Vec<_> = kinds.values().flat_map(|pages| [pages[0], heaviest(pages)]).collect();
    found.dedup();
    found
}

async fn look(browser: &Browser, address: &str, script: bool) -> Result<Vec<String>, CmdError> {
    browser.client.goto(address).await?;
    let wide = browser.client.execute(STICKS_OUT, Vec::new()).await?;
    let mut found = browser.complaints().await?;
    found.extend(wide.as_str().filter(|wide| !wide.is_empty()).map(str::to_owned));
    let buttons = "return document.querySelectorAll('[data-print]:not([hidden])').length";
    let ran = browser.client.execute(buttons, Vec::new()).await? != 0;
    if ran != script {
        found.push(format!("script should be {script} but is {ran}"));
    }
    Ok(found)
}

#[test]
fn every_kind_of_page_fits_three_widths_with_and_without_script() {
    let pages = one_of_each_kind();
    let found = browse(async |browser| {
        let mut found = Vec::new();
        for script in [true, false] {
            browser.set_script(script).await?;
            for width in WIDTHS {
                browser.set_width(width).await?;
                for page in &pages {
                    let here = look(browser, &address(&DEMO.folder, page), script).await?;
                    found.extend(here.into_iter().map(|what| format!("{page} at {width} px, script {script}: {what}")));
                }
            }
        }
        Ok(found)
    });
    assert_none("pages that do not fit", &found);
}

#[test]
fn every_page_fits_the_narrowest_screen_and_a_finger() {
    let found = browse(async |browser| {
        let mut found = Vec::new();
        browser.set_width(320).await?;
        for page in DEMO.pages.keys() {
            let mut here = look(browser, &address(&DEMO.folder, page), true).await?;
            let small = browser.client.execute(SMALL, Vec::new()).await?;
            here.extend(small.as_str().filter(|small| !small.is_empty()).map(|small| format!("small: {small}")));
            found.extend(here.into_iter().map(|what| format!("{page}: {what}")));
        }
        Ok(found)
    });
    assert_none("pages that do not fit", &found);
}

/// The instruments above, held against a page that has every fault they look for.
#[test]
fn the_instruments_see_a_bad_page() {
    let dir = TempDir::new().unwrap();
    let bad = "<!doctype html><meta name=viewport content='width=device-width'><title>bad</title>\
               <main><button data-print>Print</button><div style='width: 900px'>wide</div>\
               <img src='http://127.0.0.1:9/x.png' alt=x><script>undefined.x</script></main>";
    fs::write(dir.path().join("bad.html"), bad).unwrap();
    let (found, small) = browse(async |browser| {
        browser.set_width(320).await?;
        let found = look(browser, &address(dir.path(), "bad.html"), true).await?;
        Ok((found, browser.client.execute(SMALL, Vec::new()).await?))
    });
    let has = |what: &str| found.iter().any(|complaint| complaint.contains(what));
    assert!(has("px wide: <div"), "{found:?}");
    assert!(has("asked for http://127.0.0.1:9/x.png") && has("console: ") && has("TypeError"), "{found:?}");
    assert!(small.as_str().unwrap().contains("<button"), "{small}");
}
