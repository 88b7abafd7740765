//! Rows of crossed hoses: folded where there is a script, and a link opens the row it leads to; without one, and on paper,
//! all are open.

use fantoccini::Locator;
use serde_json::{Value, json};

use super::{Browser, Outcome, Story, story};
use crate::site::DEMO;

pub const STORIES: &[Story] = &[
    story!(two_hoses_lead_to_an_open_row),
    story!(rows_without_script_stand_open),
    story!(folded_rows_open_for_paper_and_close_again),
];

/// Whether a row is open and in view: what stands in it takes room.
const OPEN: &str = "const row = document.getElementById(arguments[0]), box = row.getBoundingClientRect();
    const inside = box.height - row.querySelector('summary').getBoundingClientRect().height;
    return [inside > 20, box.top > -5 && box.top < innerHeight, row.open];";

/// Every page of crossings, with its last row.
fn pages() -> Vec<(&'static str, String)> {
    let pages = DEMO.pages.iter().filter(|(path, _)| path.starts_with("crossings/"));
    let last = pages.filter_map(|(path, page)| {
        let rows = page.all("details").filter_map(|(_, row)| row.attribute("id"));
        Some((path.as_str(), rows.last()?.to_owned()))
    });
    last.collect()
}

async fn comes_into_view(browser: &Browser, row: &str) -> Outcome<Vec<String>> {
    let mut state = Value::Null;
    let came = browser.until(async |browser| {
        state = browser.run(OPEN, vec![json!(row)]).await?;
        Ok(state[0] == json!(true) && state[1] == json!(true))
    });
    Ok(if came.await? { Vec::new() } else { vec![format!("{row}: [open, in view, marked open] is {state}")] })
}

async fn two_hoses_lead_to_an_open_row(browser: &mut Browser) -> Outcome<Vec<String>> {
    browser.set_width(320).await?;
    let mut wrong = Vec::new();
    for (page, last) in pages() {
        browser.open(page).await?;
        // Before anything is opened, a thumb is through the page soon: unfolded it is five times as long.
        let height = browser.run("return document.documentElement.scrollHeight", Vec::new()).await?;
        wrong.extend((height.as_u64() > Some(12_000)).then(|| format!("{page} is {height} pixels long")));
        browser.client.find(Locator::Css(".hoses details:last-of-type summary")).await?.click().await?;
        let row = "return document.querySelector('.hoses details:last-of-type a').hash.slice(1)";
        let row = browser.text(row).await?;
        browser.client.find(Locator::Css(".hoses details:last-of-type a")).await?.click().await?;
        wrong.extend(comes_into_view(browser, &row).await?);
        browser.open("about.html").await?;
        browser.open(&format!("{page}#{last}")).await?;
        wrong.extend(comes_into_view(browser, &last).await?);
        wrong.extend(browser.complaints().await?);
    }
    Ok(wrong)
}

async fn rows_without_script_stand_open(browser: &mut Browser) -> Outcome<Vec<String>> {
    browser.set_script(false).await?;
    let mut wrong = Vec::new();
    for (page, last) in pages() {
        browser.open(&format!("{page}#{last}")).await?;
        wrong.extend(comes_into_view(browser, &last).await?);
    }
    Ok(wrong)
}

async fn folded_rows_open_for_paper_and_close_again(browser: &mut Browser) -> Outcome<Vec<String>> {
    let mut wrong = Vec::new();
    for (page, _) in pages() {
        browser.open(page).await?;
        let told = "const shut = () => document.querySelectorAll('main details:not([open])').length;
            const before = shut(); dispatchEvent(new Event('beforeprint')); const printing = shut();
            dispatchEvent(new Event('afterprint')); return [before > 9, printing, before - shut()];";
        let told = browser.run(told, Vec::new()).await?;
        wrong.extend((told != json!([true, 0, 0])).then(|| format!("{page}: {told}")));
    }
    Ok(wrong)
}
